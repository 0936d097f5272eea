using System.Net;
using System.Net.Http.Json;
using System.Text.Json;
using DriftWatch.Host.Settings;
using DriftWatch.Host.Web.Api;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.People;
using DriftWatch.Storage;

namespace DriftWatch.Web.Tests;

/// <summary>What programs may do, and under which conditions.</summary>
public sealed class ApiWriteTests(DeskFixture fixture)
{
    /// <summary>An alarm of this vessel stands at the end of the sample streams; other tests leave it alone.</summary>
    private const string Vessel = "HY1-A1";

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Fact]
    public async Task An_alarm_is_acted_on_with_what_was_seen_and_once_under_one_key()
    {
        await using ServedDesk desk = await SignedAsync();
        using HttpClient technician = desk.Program(Role.Technician, "the robot");
        AlarmKind kind = fixture.Plant.Store.Alarms(fixture.Plant.Clock.Now).Alarms.First(alarm => alarm.VesselId == Vessel && alarm.Status.State == AlarmState.Unacknowledged).Kind;
        string address = $"/api/v1/vessels/{Vessel}/alarms/{kind}";
        using HttpResponseMessage seen = await technician.GetAsync(address, Ended);
        string tag = seen.Headers.ETag!.ToString();

        using HttpResponseMessage bare = await ActAsync(technician, address, new { what = "acknowledge" }, null, null);
        Assert.Equal(HttpStatusCode.PreconditionRequired, bare.StatusCode);
        using HttpResponseMessage other = await ActAsync(technician, address, new { what = "acknowledge" }, "\"00000000000000000000000000000000\"", null);
        Assert.Equal(HttpStatusCode.PreconditionFailed, other.StatusCode);
        using HttpResponseMessage silent = await ActAsync(technician, address, new { what = "shelve", shelfMinutes = 60 }, tag, "k1");
        Assert.Equal(HttpStatusCode.Conflict, silent.StatusCode);
        Assert.Contains("Give a reason", await silent.Content.ReadAsStringAsync(Ended), StringComparison.Ordinal);
        using HttpResponseMessage longest = await ActAsync(technician, address, new { what = "shelve", why = "x", shelfMinutes = 43201 }, tag, "k2");
        Assert.Equal(HttpStatusCode.Conflict, longest.StatusCode);
        using HttpResponseMessage odd = await ActAsync(technician, address, new { what = "acknowledge", who = "me" }, tag, null);
        Assert.Equal(HttpStatusCode.BadRequest, odd.StatusCode);
        string told = await odd.Content.ReadAsStringAsync(Ended);
        Assert.Contains("who", told, StringComparison.Ordinal);
        Assert.DoesNotContain("AlarmActRequest", told, StringComparison.Ordinal);

        // What was refused may be sent again, mended, under its key.
        using HttpResponseMessage shelved = await ActAsync(technician, address, new { what = "shelve", why = "sensor is being changed", shelfMinutes = 60 }, tag, "k1");
        using JsonDocument alarm = await BodyAsync(shelved, HttpStatusCode.OK);
        Assert.Equal("shelved", alarm.RootElement.GetProperty("state").GetString());
        Assert.Equal("the robot", alarm.RootElement.GetProperty("setAsideBy").GetString());
        using HttpResponseMessage again = await ActAsync(technician, address, new { what = "shelve", why = "sensor is being changed", shelfMinutes = 60 }, tag, "k1");
        Assert.Equal(HttpStatusCode.OK, again.StatusCode);
        using HttpResponseMessage another = await ActAsync(technician, address, new { what = "unshelve" }, tag, "k1");
        Assert.Equal(HttpStatusCode.UnprocessableEntity, another.StatusCode);
        using HttpResponseMessage stale = await ActAsync(technician, address, new { what = "unshelve" }, tag, "k3");
        Assert.Equal(HttpStatusCode.PreconditionFailed, stale.StatusCode);
        using HttpResponseMessage fresh = await technician.GetAsync(address, Ended);
        using HttpResponseMessage back = await ActAsync(technician, address, new { what = "unshelve" }, fresh.Headers.ETag!.ToString(), "k3");
        using JsonDocument now = await BodyAsync(back, HttpStatusCode.OK);
        Assert.Equal("unacknowledged", now.RootElement.GetProperty("state").GetString());

        Assert.Equal(
            ["alarm taken back from the shelf", "alarm shelved"],
            fixture.Plant.Store.AuditBefore(long.MaxValue, 1000, Vessel).Where(line => line.Entry.PersonName == "the robot").Select(line => line.Entry.What));
        using JsonDocument journal = await BodyAsync(await technician.GetAsync($"/api/v1/vessels/{Vessel}/alarm-journal?size=2", Ended), HttpStatusCode.OK);
        Assert.Equal(["unshelve", "shelve"], journal.RootElement.GetProperty("items").EnumerateArray().Select(line => line.GetProperty("what").GetString()!));
    }

    [Fact]
    public async Task A_viewer_and_a_session_change_nothing()
    {
        await using ServedDesk desk = await SignedAsync();
        string address = $"/api/v1/vessels/{Vessel}/alarms/{AlarmKind.FallingFasterThanAllowed}";
        using HttpClient viewer = desk.Program(Role.Viewer, "the reader");
        using HttpResponseMessage refused = await ActAsync(viewer, address, new { what = "acknowledge" }, "*", null);
        Assert.Equal(HttpStatusCode.Forbidden, refused.StatusCode);
        Assert.Contains("Your role is viewer", await refused.Content.ReadAsStringAsync(Ended), StringComparison.Ordinal);
        using Visitor visitor = await desk.VisitAsync(Role.Technician);
        Assert.Equal(HttpStatusCode.OK, (await visitor.GetAsync(address)).StatusCode);
        using HttpResponseMessage session = await ActAsync(visitor.Client, address, new { what = "acknowledge" }, "*", null);
        Assert.Equal(HttpStatusCode.Forbidden, session.StatusCode);
        Assert.Contains("A session does not do here", await session.Content.ReadAsStringAsync(Ended), StringComparison.Ordinal);
        using HttpResponseMessage nobody = await ActAsync(fixture.Desk.Client, address, new { what = "acknowledge" }, "*", null);
        Assert.Equal(HttpStatusCode.Forbidden, nobody.StatusCode);
    }

    [Fact]
    public async Task A_token_does_no_more_than_its_owner_may_and_ends_with_its_time_its_owner_or_its_revocation()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        using HttpClient program = plant.Desk.Program(Role.Administrator, "Ada");
        _ = plant.Desk.Add("Bea", Role.Administrator);
        Assert.Equal(HttpStatusCode.OK, await StatusAsync(program, "/api/v1/audit"));
        Assert.Equal(HttpStatusCode.OK, await StatusAsync(program, "/metrics"));
        using HttpResponseMessage wrong = await SendBearerAsync(plant, "driftwatch_made-up");
        Assert.Equal(HttpStatusCode.Unauthorized, wrong.StatusCode);
        Assert.Contains(wrong.Headers.WwwAuthenticate, challenge => challenge.Parameter!.Contains("invalid_token", StringComparison.Ordinal));

        Account ada = plant.Store.AccountNamed("Ada")!;
        AuditEntry entry = new(plant.Time.GetUtcNow(), "", "test", "test", "person changed", "Ada");
        Assert.Equal(WriteOutcome.Done, plant.Store.Change(ada.Person.Id, account => account with { Person = account.Person with { Role = Role.Viewer } }, entry));
        Assert.Equal(HttpStatusCode.Forbidden, await StatusAsync(program, "/api/v1/audit"));
        Assert.Equal(HttpStatusCode.OK, await StatusAsync(program, "/api/v1/vessels"));
        Assert.Equal(WriteOutcome.Done, plant.Store.Change(ada.Person.Id, account => account with { Disabled = true }, entry));
        Assert.Equal(HttpStatusCode.Unauthorized, await StatusAsync(program, "/api/v1/vessels"));

        using HttpClient revoked = plant.Desk.Program(Role.Viewer, "Cor");
        string id = Assert.Single(plant.Store.TokensOf(plant.Store.AccountNamed("Cor")!.Person.Id)).Id;
        using HttpResponseMessage gone = await revoked.DeleteAsync($"/api/v1/me/tokens/{id}", Ended);
        Assert.Equal(HttpStatusCode.NoContent, gone.StatusCode);
        Assert.Equal(HttpStatusCode.Unauthorized, await StatusAsync(revoked, "/api/v1/vessels"));

        using HttpClient old = plant.Desk.Program(Role.Viewer, "Dan");
        plant.Time.Advance(TimeSpan.FromDays(29));
        Assert.Equal(HttpStatusCode.OK, await StatusAsync(old, "/api/v1/vessels"));
        plant.Time.Advance(TimeSpan.FromDays(2));
        Assert.Equal(HttpStatusCode.Unauthorized, await StatusAsync(old, "/api/v1/vessels"));

        // The secret itself stands nowhere in the store.
        string kept = old.DefaultRequestHeaders.Authorization!.Parameter!;
        Assert.Equal(0, plant.Count($"SELECT count(*) FROM token WHERE key = '{kept}' OR id = '{kept}'"));
        Assert.Equal(1, plant.Count($"SELECT count(*) FROM token WHERE key = '{Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData(System.Text.Encoding.UTF8.GetBytes(kept)))}'"));
    }

    [Fact]
    public async Task A_program_of_an_administrator_looks_after_people()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        using HttpClient admin = plant.Desk.Program(Role.Administrator, "Ada");
        var bea = new { name = "Bea", role = "technician", password = ServedDesk.Password };
        using HttpRequestMessage add = new(HttpMethod.Post, "/api/v1/people") { Content = JsonContent.Create(bea) };
        add.Headers.Add(ApiWrite.KeyHeader, "once");
        using HttpResponseMessage added = await admin.SendAsync(add, Ended);
        using JsonDocument person = await BodyAsync(added, HttpStatusCode.Created);
        string address = added.Headers.Location!.ToString();
        Assert.EndsWith(person.RootElement.GetProperty("id").GetString()!, address, StringComparison.Ordinal);
        Assert.DoesNotContain("hash", person.RootElement.ToString(), StringComparison.OrdinalIgnoreCase);
        using HttpRequestMessage twice = new(HttpMethod.Post, "/api/v1/people") { Content = JsonContent.Create(bea) };
        twice.Headers.Add(ApiWrite.KeyHeader, "once");
        using HttpResponseMessage repeated = await admin.SendAsync(twice, Ended);
        Assert.Equal(HttpStatusCode.Created, repeated.StatusCode);
        using HttpResponseMessage taken = await admin.PostAsJsonAsync("/api/v1/people", bea, Ended);
        Assert.Equal(HttpStatusCode.Conflict, taken.StatusCode);
        using HttpResponseMessage weak = await admin.PostAsJsonAsync("/api/v1/people", new { name = "Cor", role = "viewer", password = "short" }, Ended);
        Assert.Equal(HttpStatusCode.BadRequest, weak.StatusCode);

        using HttpResponseMessage seen = await admin.GetAsync(address, Ended);
        string tag = seen.Headers.ETag!.ToString();
        Assert.Equal(HttpStatusCode.PreconditionRequired, (await PatchAsync(new { role = "engineer" }, null)).StatusCode);
        using JsonDocument engineer = await BodyAsync(await PatchAsync(new { role = "engineer" }, tag), HttpStatusCode.OK);
        Assert.Equal("engineer", engineer.RootElement.GetProperty("role").GetString());
        Assert.Equal(HttpStatusCode.PreconditionFailed, (await PatchAsync(new { disabled = true }, tag)).StatusCode);
        Assert.Equal(["role changed", "person added"], plant.Store.AuditBefore(long.MaxValue, 100, "Bea").Where(line => line.Entry.PersonName == "Ada").Select(line => line.Entry.What));

        Task<HttpResponseMessage> PatchAsync(object body, string? seen)
        {
            HttpRequestMessage request = new(HttpMethod.Patch, address) { Content = JsonContent.Create(body) };
            if (seen is not null)
            {
                request.Headers.Add("If-Match", seen);
            }

            return admin.SendAsync(request, Ended);
        }
    }

    [Fact]
    public async Task Too_many_calls_have_to_wait_and_others_do_not()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        using HttpClient busy = plant.Desk.Program(Role.Viewer, "Ada");
        using HttpClient calm = plant.Desk.Program(Role.Viewer, "Bea");
        HttpResponseMessage? refused = null;
        for (int time = 0; time < 10 && refused is null; time++)
        {
            // More at once than may come at once: however slowly they are answered, some come too early.
            HttpResponseMessage[] answers = await Task.WhenAll(Enumerable.Range(0, 2 * CallLimit.Burst).Select(_ => busy.GetAsync("/api/v1/me", Ended)));
            refused = answers.FirstOrDefault(answer => answer.StatusCode == HttpStatusCode.TooManyRequests);
        }

        Assert.NotNull(refused);
        Assert.True(refused.Headers.RetryAfter!.Delta >= TimeSpan.FromSeconds(1));
        Assert.Equal("application/problem+json", refused.Content.Headers.ContentType?.MediaType);
        Assert.Equal(HttpStatusCode.OK, await StatusAsync(calm, "/api/v1/me"));
    }

    [Fact]
    public async Task The_description_of_pages_with_a_sign_in_names_all_calls()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        using HttpClient program = plant.Desk.Program(Role.Viewer, "Ada");
        using JsonDocument description = await BodyAsync(await program.GetAsync("/api/v1/openapi.json", Ended), HttpStatusCode.OK);
        string[] ids = [.. description.RootElement.GetProperty("paths").EnumerateObject().SelectMany(path => path.Value.EnumerateObject()).Select(call => call.Value.GetProperty("operationId").GetString()!)];
        Assert.Equal(ids.Distinct().Count(), ids.Length);
        Assert.All(
            ["getMe", "listTokens", "revokeToken", "listPeople", "addPerson", "changePerson", "setPassword", "listAudit", "actOnAlarm"],
            id => Assert.Contains(id, ids));
        JsonElement at = description.RootElement.GetProperty("components").GetProperty("schemas").GetProperty("WorkEntered").GetProperty("properties").GetProperty("at");
        Assert.Equal("date-time", at.GetProperty("format").GetString());
    }

    private Task<ServedDesk> SignedAsync() =>
        ServedDesk.StartAsync(fixture.Plant.Register, fixture.Plant.Store, fixture.Plant.Clock, new WebSettings { Port = 0, SignIn = "local" });

    private static async Task<HttpResponseMessage> ActAsync(HttpClient client, string address, object body, string? seen, string? key)
    {
        using HttpRequestMessage request = new(HttpMethod.Post, address + "/actions") { Content = JsonContent.Create(body) };
        if (seen is not null)
        {
            request.Headers.Add("If-Match", seen);
        }

        if (key is not null)
        {
            request.Headers.Add(ApiWrite.KeyHeader, key);
        }

        return await client.SendAsync(request, Ended);
    }

    private static async Task<HttpResponseMessage> SendBearerAsync(PlantOfOne plant, string secret)
    {
        using HttpRequestMessage request = new(HttpMethod.Get, "/api/v1/vessels");
        request.Headers.Authorization = new System.Net.Http.Headers.AuthenticationHeaderValue("Bearer", secret);
        return await plant.Desk.Client.SendAsync(request, Ended);
    }

    private static async Task<HttpStatusCode> StatusAsync(HttpClient client, string address)
    {
        using HttpResponseMessage answer = await client.GetAsync(address, Ended);
        return answer.StatusCode;
    }

    private static async Task<JsonDocument> BodyAsync(HttpResponseMessage answer, HttpStatusCode status)
    {
        string body = await answer.Content.ReadAsStringAsync(Ended);
        Assert.True(answer.StatusCode == status, $"{(int)answer.StatusCode} {body}");
        return JsonDocument.Parse(body);
    }
}
