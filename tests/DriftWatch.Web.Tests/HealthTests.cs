using System.Net;
using System.Text.Json;
using DriftWatch.Host.Health;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;

namespace DriftWatch.Web.Tests;

/// <summary>The health of the service over HTTP.</summary>
public sealed class HealthTests(DeskFixture fixture)
{
    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Programs_learn_of_each_part_what_is_wrong_since_when_and_how_to_mend_it()
    {
        using JsonDocument report = JsonDocument.Parse(await fixture.Desk.Client.GetStringAsync("/health", Ended));
        Assert.Equal("failed", report.RootElement.GetProperty("state").GetString());
        JsonElement[] parts = [.. report.RootElement.GetProperty("parts").EnumerateArray()];
        Assert.Equal(["assessment", "queue:csv", "store"], parts.Select(part => part.GetProperty("part").GetString()));
        Assert.Equal(["good", "degraded", "failed"], parts.Select(part => part.GetProperty("state").GetString()));
        JsonElement worst = parts[2].GetProperty("complaints")[0];
        Assert.Equal("The disk is full.", worst.GetProperty("what").GetString());
        Assert.Equal("Free space.", worst.GetProperty("mend").GetString());
        Assert.Equal(fixture.Health.Parts[2].Complaints[0].Since, worst.GetProperty("since").GetDateTimeOffset());
    }

    [Fact]
    public async Task Ready_is_told_apart_from_alive()
    {
        ServiceHealth health = new(TimeProvider.System, NullLogger<ServiceHealth>.Instance);
        await using ServedDesk desk = await ServedDesk.StartAsync(fixture.Plant.Register, fixture.Plant.Store, fixture.Plant.Clock, health: health);
        Assert.Equal(HttpStatusCode.OK, (await desk.Client.GetAsync("/health/ready", Ended)).StatusCode);
        health.Raise(ServicePart.Influx, new Complaint("write", HealthState.Degraded, "It is away.", "Start it."));
        Assert.Equal(HttpStatusCode.OK, (await desk.Client.GetAsync("/health/ready", Ended)).StatusCode);
        health.Raise(ServicePart.Store, new Complaint("write", HealthState.Failed, "The disk is full.", "Free space."));
        using HttpResponseMessage answer = await desk.Client.GetAsync("/health/ready", Ended);
        Assert.Equal(HttpStatusCode.ServiceUnavailable, answer.StatusCode);
        Assert.Equal("not ready: store", await answer.Content.ReadAsStringAsync(Ended));
        Assert.Equal(HttpStatusCode.OK, (await desk.Client.GetAsync("/health/live", Ended)).StatusCode);
    }

    /// <summary>Parts that nobody looks at any more would stay good on the page.</summary>
    [Fact]
    public async Task The_page_of_a_service_that_hangs_says_so()
    {
        FakeTimeProvider clock = new(DateTimeOffset.UnixEpoch);
        ServiceHealth health = new(clock, NullLogger<ServiceHealth>.Instance);
        health.Know(ServicePart.Store);
        await using ServedDesk desk = await ServedDesk.StartAsync(fixture.Plant.Register, fixture.Plant.Store, fixture.Plant.Clock, health: health);
        Assert.Contains("The service is well", await desk.Client.GetStringAsync("/service", Ended), StringComparison.Ordinal);
        clock.Advance(TimeSpan.FromSeconds(61));
        string page = await desk.Client.GetStringAsync("/service", Ended);
        Assert.Contains("The service hangs", page, StringComparison.Ordinal);
        Assert.Contains("the parts were last looked at 61 s ago", page, StringComparison.Ordinal);
        Assert.DoesNotContain("The service is well", page, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("/health", HttpStatusCode.OK)]
    [InlineData("/health/ready", HttpStatusCode.OK)]
    [InlineData("/health/live", HttpStatusCode.OK)]
    [InlineData("/metrics", HttpStatusCode.OK)]
    [InlineData("/service", HttpStatusCode.Redirect)]
    public async Task Where_people_sign_in_programs_on_this_machine_still_learn_how_it_stands(string address, HttpStatusCode status)
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        using HttpResponseMessage answer = await plant.Desk.Client.GetAsync(address, Ended);
        Assert.Equal(status, answer.StatusCode);
    }

    [Theory]
    [InlineData("/health")]
    [InlineData("/health/ready")]
    [InlineData("/health/live")]
    [InlineData("/service")]
    public async Task Under_a_foreign_name_nothing_is_told(string address)
    {
        using var request = new HttpRequestMessage(HttpMethod.Get, address);
        request.Headers.Host = "plant.example";
        using HttpResponseMessage answer = await fixture.Desk.Client.SendAsync(request, Ended);
        Assert.Equal(HttpStatusCode.MisdirectedRequest, answer.StatusCode);
    }
}
