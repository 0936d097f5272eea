using System.Net;
using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;
using DriftWatch.Plant.People;
using DriftWatch.Plant.Register;

namespace DriftWatch.Web.Tests;

/// <summary>The register for programs.</summary>
public sealed class RegisterCallTests
{
    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Fact]
    public async Task An_entry_is_changed_on_what_was_seen_added_where_there_is_none_and_retired()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        using HttpClient engineer = plant.Desk.Program(Role.Engineer, "Enno");
        using HttpResponseMessage seen = await engineer.GetAsync("/api/v1/register/vessels/PR1-A1", Ended);
        string tag = seen.Headers.ETag!.ToString();
        JsonObject entry = JsonNode.Parse(await seen.Content.ReadAsStringAsync(Ended))!.AsObject();
        entry["precharge"]!["lowerLimitBarGauge"] = 91;
        Assert.Equal(HttpStatusCode.PreconditionRequired, (await PutAsync("PR1-A1", entry)).StatusCode);
        Assert.Equal(HttpStatusCode.PreconditionFailed, (await PutAsync("PR1-A1", entry, ("If-None-Match", "*"))).StatusCode);
        using HttpResponseMessage changed = await PutAsync("PR1-A1", entry, ("If-Match", tag));
        Assert.Equal(HttpStatusCode.OK, changed.StatusCode);
        Assert.Equal(91, plant.Register.Current.Find("PR1-A1")!.Specification.LowerLimit.Bar, 9);
        Assert.Equal(HttpStatusCode.PreconditionFailed, (await PutAsync("PR1-A1", entry, ("If-Match", tag))).StatusCode);

        entry["precharge"]!["lowerLimitBarGauge"] = 170;
        using HttpResponseMessage defects = await PutAsync("PR1-A1", entry, ("If-Match", changed.Headers.ETag!.ToString()));
        Assert.Equal(HttpStatusCode.BadRequest, defects.StatusCode);
        using JsonDocument problem = JsonDocument.Parse(await defects.Content.ReadAsStringAsync(Ended));
        Assert.Contains("lowerLimitBarGauge", problem.RootElement.GetProperty("defects")[0].GetProperty("place").GetString()!, StringComparison.Ordinal);

        Assert.Equal(HttpStatusCode.BadRequest, (await PutAsync("PR1-A9", entry, ("If-None-Match", "*"))).StatusCode);
        entry["precharge"]!["lowerLimitBarGauge"] = 91;
        entry["id"] = "PR1-A9";
        foreach (JsonNode? sensor in entry["sensors"]!.AsObject().Select(pair => pair.Value))
        {
            sensor!["topic"] = "works/pr1/a9";
        }

        using HttpResponseMessage added = await PutAsync("PR1-A9", entry, ("If-None-Match", "*"));
        Assert.Equal(HttpStatusCode.OK, added.StatusCode);
        Assert.NotNull(plant.Register.Current.Find("PR1-A9"));
        using HttpRequestMessage retire = new(HttpMethod.Delete, "/api/v1/register/vessels/PR1-A9?why=scrapped");
        retire.Headers.Add("If-Match", added.Headers.ETag!.ToString());
        using HttpResponseMessage retired = await engineer.SendAsync(retire, Ended);
        Assert.Equal(HttpStatusCode.NoContent, retired.StatusCode);
        Assert.Null(plant.Register.Current.Find("PR1-A9"));

        using HttpResponseMessage history = await engineer.GetAsync("/api/v1/vessels/PR1-A1/register-history", Ended);
        using JsonDocument lines = JsonDocument.Parse(await history.Content.ReadAsStringAsync(Ended));
        JsonElement line = Assert.Single(lines.RootElement.EnumerateArray());
        Assert.Equal(("Enno", "api", "90", "91"), (line.GetProperty("who").GetString(), line.GetProperty("source").GetString(), line.GetProperty("before").GetString(), line.GetProperty("after").GetString()));

        async Task<HttpResponseMessage> PutAsync(string id, JsonObject body, params (string Name, string Value)[] headers)
        {
            using HttpRequestMessage request = new(HttpMethod.Put, $"/api/v1/register/vessels/{id}") { Content = new StringContent(body.ToJsonString(), Encoding.UTF8, "application/json") };
            foreach ((string name, string value) in headers)
            {
                request.Headers.Add(name, value);
            }

            return await engineer.SendAsync(request, Ended);
        }
    }

    [Theory]
    [InlineData("/api/v1/register")]
    [InlineData("/api/v1/register/vessels/PR1-A1")]
    public async Task What_the_caller_has_already_is_not_sent_again(string address)
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        using HttpClient engineer = plant.Desk.Program(Role.Engineer, "Enno");
        using HttpResponseMessage seen = await engineer.GetAsync(address, Ended);
        using HttpRequestMessage again = new(HttpMethod.Get, address);
        again.Headers.IfNoneMatch.Add(seen.Headers.ETag!);
        using HttpResponseMessage same = await engineer.SendAsync(again, Ended);
        Assert.Equal(HttpStatusCode.NotModified, same.StatusCode);
        Assert.Equal(seen.Headers.ETag, same.Headers.ETag);
    }

    [Fact]
    public async Task A_file_that_was_spoilt_by_hand_is_told_with_its_defects_and_nobody_is_no_vessel()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        using HttpClient engineer = plant.Desk.Program(Role.Engineer, "Enno");
        Assert.Equal(HttpStatusCode.NotFound, (await engineer.GetAsync("/api/v1/vessels/nobody/register-history", Ended)).StatusCode);
        await File.WriteAllTextAsync(plant.RegisterPath, "{ spoilt", Ended);
        using HttpResponseMessage told = await engineer.GetAsync("/api/v1/register/vessels/PR1-A1", Ended);
        Assert.Equal(HttpStatusCode.Conflict, told.StatusCode);
        using JsonDocument problem = JsonDocument.Parse(await told.Content.ReadAsStringAsync(Ended));
        Assert.NotEmpty(problem.RootElement.GetProperty("defects").EnumerateArray());
    }

    [Fact]
    public async Task A_whole_file_is_checked_and_put_in_place_of_the_one_that_was_seen()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        using HttpClient engineer = plant.Desk.Program(Role.Engineer, "Enno");
        using HttpResponseMessage seen = await engineer.GetAsync("/api/v1/register", Ended);
        string text = await seen.Content.ReadAsStringAsync(Ended);
        Assert.Equal(await File.ReadAllTextAsync(plant.RegisterPath, Ended), text);
        string after = RegisterText.Remove(text, "YD1-A1");
        using HttpResponseMessage check = await engineer.PostAsync("/api/v1/register/check", Json(after), Ended);
        using JsonDocument differences = JsonDocument.Parse(await check.Content.ReadAsStringAsync(Ended));
        Assert.All(differences.RootElement.GetProperty("changes").EnumerateArray(), change => Assert.Equal("YD1-A1", change.GetProperty("vesselId").GetString()));
        Assert.Equal(16, plant.Register.Current.Vessels.Count);
        using HttpRequestMessage put = new(HttpMethod.Put, "/api/v1/register") { Content = Json(after) };
        put.Headers.Add("If-Match", seen.Headers.ETag!.ToString());
        using HttpResponseMessage replaced = await engineer.SendAsync(put, Ended);
        Assert.Equal(HttpStatusCode.OK, replaced.StatusCode);
        Assert.Equal(15, plant.Register.Current.Vessels.Count);

        using HttpClient technician = plant.Desk.Program(Role.Technician, "Tess");
        using HttpResponseMessage refused = await technician.PostAsync("/api/v1/register/check", Json(text), Ended);
        Assert.Equal(HttpStatusCode.Forbidden, refused.StatusCode);

        static StringContent Json(string body) => new(body, Encoding.UTF8, "application/json");
    }
}
