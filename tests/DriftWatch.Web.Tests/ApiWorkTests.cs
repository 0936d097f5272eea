using System.Net;
using System.Net.Http.Json;
using System.Text.Json;
using DriftWatch.Plant.People;

namespace DriftWatch.Web.Tests;

/// <summary>Charges and checks told by programs, and the round.</summary>
public sealed class ApiWorkTests
{
    private const string Vessel = "PR1-A1";

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_check_goes_on_record_once_says_what_it_shows_and_can_be_voided()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        using HttpClient technician = plant.Desk.Program(Role.Technician, "the robot");
        string address = $"/api/v1/vessels/{Vessel}/work/{Guid.NewGuid()}";
        var check = new
        {
            kind = "check",
            at = plant.Time.GetUtcNow().AddMinutes(-5),
            who = "Ada",
            gasPressureGaugePa = 90e5,
            gasTemperatureK = 293.15,
            isolatedAndReleased = true,
            gaugeId = "G-7",
        };
        using JsonDocument recorded = await BodyAsync(await technician.PutAsJsonAsync(address, check, Ended), HttpStatusCode.OK);

        // At the reference temperature itself nothing is corrected.
        Assert.Equal(90e5, recorded.RootElement.GetProperty("prechargeGaugePa").GetDouble(), 1e5 * 0.01);
        Assert.True(recorded.RootElement.GetProperty("prechargeExpandedUncertaintyPa").GetDouble() > 0);
        Assert.Equal("the robot", recorded.RootElement.GetProperty("enteredBy").GetString());
        using JsonDocument again = await BodyAsync(await technician.PutAsJsonAsync(address, check, Ended), HttpStatusCode.OK);
        Assert.Equal(recorded.RootElement.GetProperty("id").GetString(), again.RootElement.GetProperty("id").GetString());
        using HttpResponseMessage other = await technician.PutAsJsonAsync(address, check with { gaugeId = "G-8" }, Ended);
        Assert.Equal(HttpStatusCode.Conflict, other.StatusCode);
        Assert.Single(plant.Register.Current.Find(Vessel)!.RecordedChecks, one => one.GaugeId == "G-7");

        using HttpResponseMessage silent = await technician.PutAsJsonAsync($"{address}/void/{Guid.NewGuid()}", new { why = "" }, Ended);
        Assert.Equal(HttpStatusCode.BadRequest, silent.StatusCode);
        using JsonDocument gone = await BodyAsync(await technician.PutAsJsonAsync($"{address}/void/{Guid.NewGuid()}", new { why = "another vessel" }, Ended), HttpStatusCode.OK);
        Assert.False(gone.RootElement.GetProperty("counts").GetBoolean());
        Assert.DoesNotContain(plant.Register.Current.Find(Vessel)!.RecordedChecks, one => one.GaugeId == "G-7");
        using JsonDocument all = await BodyAsync(await technician.GetAsync($"/api/v1/vessels/{Vessel}/work", Ended), HttpStatusCode.OK);
        Assert.Equal("another vessel", Assert.Single(all.RootElement.EnumerateArray()).GetProperty("voidedBecause").GetString());
    }

    [Fact]
    public async Task What_cannot_be_used_is_refused_with_its_fields()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        using HttpClient technician = plant.Desk.Program(Role.Technician, "the robot");
        var unconfirmed = new { kind = "check", at = plant.Time.GetUtcNow(), gasPressureGaugePa = 90e5, gasTemperatureK = 293.15 };
        using HttpResponseMessage refused = await technician.PutAsJsonAsync($"/api/v1/vessels/{Vessel}/work/{Guid.NewGuid()}", unconfirmed, Ended);
        Assert.Equal(HttpStatusCode.BadRequest, refused.StatusCode);
        Assert.Contains("isolatedAndReleased", await refused.Content.ReadAsStringAsync(Ended), StringComparison.Ordinal);
        using HttpResponseMessage nowhere = await technician.PutAsJsonAsync($"/api/v1/vessels/none/work/{Guid.NewGuid()}", unconfirmed, Ended);
        Assert.Equal(HttpStatusCode.NotFound, nowhere.StatusCode);
        using HttpClient viewer = plant.Desk.Program(Role.Viewer, "the reader");
        using HttpResponseMessage closed = await viewer.PutAsJsonAsync($"/api/v1/vessels/{Vessel}/work/{Guid.NewGuid()}", unconfirmed, Ended);
        Assert.Equal(HttpStatusCode.Forbidden, closed.StatusCode);
    }

    [Theory]
    [InlineData("2026-03-04T09:30:00")]
    [InlineData("2026-03-04T09:30+01:00")]
    [InlineData("2026-03-04")]
    public async Task A_time_that_names_no_instant_is_refused_with_how_to_give_it(string at)
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        using HttpClient technician = plant.Desk.Program(Role.Technician, "the robot");
        using JsonDocument refused = await BodyAsync(
            await technician.PutAsJsonAsync($"/api/v1/vessels/{Vessel}/work/{Guid.NewGuid()}", new { kind = "check", at, note = "looked at it" }, Ended),
            HttpStatusCode.BadRequest);
        string detail = refused.RootElement.GetProperty("detail").GetString()!;
        Assert.Contains($"$.at: '{at}' names no instant", detail, StringComparison.Ordinal);
        Assert.Contains("2026-10-01T06:00:00Z", detail, StringComparison.Ordinal);
        Assert.Empty(plant.Store.WorkOf(Vessel));
    }

    [Fact]
    public async Task The_round_names_what_is_due()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        using HttpClient viewer = plant.Desk.Program(Role.Viewer, "the reader");
        using JsonDocument round = await BodyAsync(await viewer.GetAsync("/api/v1/round", Ended), HttpStatusCode.OK);

        // Nothing was ever read: all that were charged on record long ago, or never seen, are due.
        Assert.Contains(Vessel, Items(round).Select(stop => stop.GetProperty("vesselId").GetString()));
        Assert.All(Items(round), stop => Assert.NotEqual("", stop.GetProperty("reason").GetString()));
        using JsonDocument third = await BodyAsync(await viewer.GetAsync("/api/v1/round?size=5&page=3", Ended), HttpStatusCode.OK);
        Assert.Equal(Items(round).Skip(10).Take(5).Select(stop => stop.GetRawText()), Items(third).Select(stop => stop.GetRawText()));
        Assert.Equal(round.RootElement.GetProperty("total").GetInt32(), third.RootElement.GetProperty("total").GetInt32());
        using JsonDocument one = await BodyAsync(await viewer.GetAsync($"/api/v1/round?vessel={Vessel}", Ended), HttpStatusCode.OK);
        Assert.Equal(Vessel, Assert.Single(Items(one)).GetProperty("vesselId").GetString());
        using HttpResponseMessage odd = await viewer.GetAsync("/api/v1/round?days=many", Ended);
        Assert.Equal(HttpStatusCode.BadRequest, odd.StatusCode);
        using HttpResponseMessage nobody = await viewer.GetAsync("/api/v1/round?vessel=nobody", Ended);
        Assert.Equal(HttpStatusCode.BadRequest, nobody.StatusCode);
        using HttpResponseMessage nowhere = await viewer.GetAsync("/api/v1/round?place=nowhere", Ended);
        Assert.Equal(HttpStatusCode.BadRequest, nowhere.StatusCode);
    }

    private static JsonElement.ArrayEnumerator Items(JsonDocument page) => page.RootElement.GetProperty("items").EnumerateArray();

    private static async Task<JsonDocument> BodyAsync(HttpResponseMessage answer, HttpStatusCode status)
    {
        using (answer)
        {
            string body = await answer.Content.ReadAsStringAsync(Ended);
            Assert.True(answer.StatusCode == status, $"{answer.StatusCode}: {body}");
            return JsonDocument.Parse(body);
        }
    }
}
