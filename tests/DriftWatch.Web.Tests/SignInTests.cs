using System.Net;
using System.Text.Json;
using DriftWatch.Host.Settings;
using DriftWatch.Host.Web.People;
using DriftWatch.Plant.People;
using DriftWatch.Storage;
using DriftWatch.TestPeers;
using Microsoft.Data.Sqlite;

namespace DriftWatch.Web.Tests;

/// <summary>Who is let in, for how long, and what is written down.</summary>
public sealed class SignInTests
{
    private const string Wrong = "some other words in a row";

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData("/", "/sign-in?back=%2F")]
    [InlineData("/vessels/PR1-A1?from=2026-01-01", "/sign-in?back=%2Fvessels%2FPR1-A1%3Ffrom%3D2026-01-01")]
    [InlineData("/nowhere", "/sign-in?back=%2Fnowhere")]
    [InlineData("/me", "/sign-in?back=%2Fme")]
    public async Task Whoever_has_not_signed_in_is_asked_to(string address, string where)
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        using HttpResponseMessage answer = await plant.Desk.Client.GetAsync(address, Ended);
        Assert.Equal(HttpStatusCode.Redirect, answer.StatusCode);
        Assert.EndsWith(where, answer.Headers.Location!.ToString(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("/api/v1/vessels")]
    [InlineData("/api/v1/openapi.json")]
    [InlineData("/api/v1/nothing")]
    public async Task A_program_without_a_token_gets_problem_details(string address)
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        using HttpResponseMessage answer = await plant.Desk.Client.GetAsync(address, Ended);
        Assert.Equal(HttpStatusCode.Unauthorized, answer.StatusCode);
        Assert.Equal("application/problem+json", answer.Content.Headers.ContentType?.MediaType);
        Assert.Contains(answer.Headers.WwwAuthenticate, challenge => challenge.Scheme == "Bearer");
    }

    [Fact]
    public async Task Signing_in_leads_back_and_keeps_a_cookie_that_no_script_reads()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        _ = plant.Desk.Add("Ada", Role.Viewer);
        using Visitor visitor = new(plant.Desk.Address);
        using HttpResponseMessage answer = await visitor.TrySignInAsync("ada", ServedDesk.Password, "/vessels/PR1-A1");
        Assert.Equal("/vessels/PR1-A1", answer.Headers.Location!.ToString());
        string cookie = Assert.Single(answer.Headers.GetValues("Set-Cookie"), line => line.StartsWith("driftwatch-session=", StringComparison.Ordinal));
        Assert.Contains("httponly", cookie, StringComparison.OrdinalIgnoreCase);
        Assert.Contains("samesite=lax", cookie, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("expires", cookie, StringComparison.OrdinalIgnoreCase);
        Assert.Contains(">Ada<", await visitor.ReadAsync("/vessels/PR1-A1"), StringComparison.Ordinal);
        using HttpResponseMessage page = await visitor.GetAsync("/");
        Assert.True(page.Headers.CacheControl!.NoStore);
    }

    [Theory]
    [InlineData("//elsewhere.example/")]
    [InlineData("https://elsewhere.example/")]
    [InlineData("/\\elsewhere.example/")]
    public async Task Signing_in_leads_nobody_elsewhere(string back)
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        _ = plant.Desk.Add("Ada", Role.Viewer);
        using Visitor visitor = new(plant.Desk.Address);
        using HttpResponseMessage answer = await visitor.TrySignInAsync("Ada", ServedDesk.Password, back);
        Assert.Equal("/", answer.Headers.Location!.ToString());
    }

    [Fact]
    public async Task A_refusal_does_not_tell_which_names_are_known()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        Account left = plant.Desk.Add("Left", Role.Viewer);
        _ = plant.Desk.Add("Ada", Role.Viewer);
        Assert.Equal(WriteOutcome.Done, plant.Store.Change(left.Person.Id, account => account with { Disabled = true }, new AuditEntry(plant.Time.GetUtcNow(), "", "test", "test", "person disabled", "Left")));
        List<string> told = [];
        foreach ((string name, string password) in ((string, string)[])[("Ada", Wrong), ("Nobody", Wrong), ("Left", ServedDesk.Password)])
        {
            using Visitor visitor = new(plant.Desk.Address);
            using HttpResponseMessage answer = await visitor.TrySignInAsync(name, password);
            Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
            string page = await answer.Content.ReadAsStringAsync(Ended);
            Assert.Contains("Name or password is wrong.", page, StringComparison.Ordinal);
            told.Add(page.Replace(Visitor.TokenOf(page), "", StringComparison.Ordinal).Replace($"\"{name}\"", "", StringComparison.Ordinal));
        }

        Assert.Single(told.Distinct());
        Assert.Equal(
            ["disabled", "unknown name", "wrong password"],
            plant.Store.AuditBefore(long.MaxValue, 100).Where(line => line.Entry.What == "sign-in failed").Select(line => line.Entry.After));
        Assert.DoesNotContain(plant.Store.AuditBefore(long.MaxValue, 100), line => line.Entry.ToString().Contains("Nobody", StringComparison.Ordinal));
    }

    [Fact]
    public async Task Guessing_has_to_wait_after_five_failures_of_an_account_wherever_it_comes_from()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync(new WebSettings
        {
            Port = 0,
            SignIn = "local",
            BehindProxy = new ProxySettings { TrustedProxies = ["127.0.0.1"] },
        });
        _ = plant.Desk.Add("Ada", Role.Viewer);
        _ = plant.Desk.Add("Bea", Role.Viewer);
        for (int i = 0; i < SignInLimiter.MostOfAccount; i++)
        {
            Assert.Equal(HttpStatusCode.BadRequest, await TryAsync("Ada", Wrong, $"192.0.2.{i}"));
        }

        Assert.Equal(HttpStatusCode.TooManyRequests, await TryAsync("ADA", ServedDesk.Password, "192.0.2.99"));
        Assert.Equal(HttpStatusCode.Redirect, await TryAsync("Bea", ServedDesk.Password, "192.0.2.1"));
        plant.Time.Advance(SignInLimiter.Span);
        Assert.Equal(HttpStatusCode.Redirect, await TryAsync("Ada", ServedDesk.Password, "192.0.2.99"));

        async Task<HttpStatusCode> TryAsync(string name, string password, string from)
        {
            using Visitor visitor = new(plant.Desk.Address, from);
            visitor.Client.DefaultRequestHeaders.Add("X-Forwarded-Proto", "https");

            // The cookie is for TLS, which the proxy would speak: it is handed over as the proxy would.
            using HttpResponseMessage first = await visitor.GetAsync("/sign-in");
            string cookie = Assert.Single(first.Headers.GetValues("Set-Cookie"));
            Assert.StartsWith("__Host-", cookie, StringComparison.Ordinal);
            Assert.Contains("secure", cookie, StringComparison.OrdinalIgnoreCase);
            visitor.Client.DefaultRequestHeaders.Add("Cookie", cookie.Split(';')[0]);
            using HttpResponseMessage answer = await visitor.SendWithAsync(
                Visitor.TokenOf(await first.Content.ReadAsStringAsync(Ended)), "/sign-in", ("name", name), ("password", password));
            return answer.StatusCode;
        }
    }

    [Fact]
    public void An_address_has_to_wait_after_twenty_failures_whatever_the_account()
    {
        Microsoft.Extensions.Time.Testing.FakeTimeProvider time = new();
        SignInLimiter limiter = new(time);
        for (int i = 0; i < SignInLimiter.MostOfAddress; i++)
        {
            Assert.Null(limiter.Begin($"account {i}", "192.0.2.1"));
            time.Advance(TimeSpan.FromSeconds(1));
        }

        Assert.NotNull(limiter.Begin("another", "192.0.2.1"));
        Assert.Null(limiter.Begin("another", "192.0.2.2"));
        time.Advance(SignInLimiter.Span - TimeSpan.FromSeconds(SignInLimiter.MostOfAddress));
        Assert.Null(limiter.Begin("another", "192.0.2.1"));
    }

    [Fact]
    public async Task Guessing_many_times_at_the_same_moment_is_no_way_round()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        _ = plant.Desk.Add("Ada", Role.Viewer);
        using Visitor visitor = new(plant.Desk.Address);
        string token = Visitor.TokenOf(await visitor.ReadAsync("/sign-in"));
        HttpResponseMessage[] answers = await Task.WhenAll(Enumerable.Range(0, 30).Select(i => visitor.SendWithAsync(token, "/sign-in", ("name", "Ada"), ("password", $"{Wrong} {i}"))));
        Assert.Equal(SignInLimiter.MostOfAccount, answers.Count(answer => answer.StatusCode == HttpStatusCode.BadRequest));
        Assert.Equal(30 - SignInLimiter.MostOfAccount, answers.Count(answer => answer.StatusCode == HttpStatusCode.TooManyRequests && answer.Headers.RetryAfter is not null));
    }

    [Fact]
    public async Task A_provider_that_does_not_answer_is_said_to()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync(new WebSettings
        {
            Port = 0,
            SignIn = "oidc",
            Oidc = new OidcSettings { Authority = $"http://127.0.0.1:{FreePort.Find()}", ClientId = "x", Roles = new Dictionary<string, string> { ["a"] = "viewer" } },
        });
        using HttpResponseMessage answer = await plant.Desk.Client.GetAsync("/sign-in/provider", Ended);
        Assert.Equal(HttpStatusCode.ServiceUnavailable, answer.StatusCode);
        Assert.Contains("does not answer now", await answer.Content.ReadAsStringAsync(Ended), StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_administrator_revokes_the_tokens_of_others()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        using HttpClient program = plant.Desk.Program(Role.Viewer, "Bea");
        using Visitor admin = await plant.Desk.VisitAsync(Role.Administrator);
        string id = plant.Store.AccountNamed("Bea")!.Person.Id;
        string token = Assert.Single(plant.Store.TokensOf(id)).Id;
        Assert.Equal(HttpStatusCode.OK, (await program.GetAsync("/api/v1/me", Ended)).StatusCode);
        using HttpResponseMessage revoked = await admin.SendAsync("/people", $"/people/{id}/tokens/{token}/revoke");
        Assert.Equal(HttpStatusCode.Redirect, revoked.StatusCode);
        Assert.Equal(HttpStatusCode.Unauthorized, (await program.GetAsync("/api/v1/me", Ended)).StatusCode);
    }

    [Fact]
    public async Task A_session_ends_when_it_is_not_used_and_when_its_time_is_over()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync(new WebSettings { Port = 0, SignIn = "local", SessionHours = 2, IdleMinutes = 30 });
        using Visitor idle = await plant.Desk.VisitAsync(Role.Viewer);
        plant.Time.Advance(TimeSpan.FromMinutes(29));
        _ = await idle.ReadAsync("/me");
        plant.Time.Advance(TimeSpan.FromMinutes(29));
        _ = await idle.ReadAsync("/me");
        plant.Time.Advance(TimeSpan.FromMinutes(30));
        Assert.True(await IsOutAsync(idle));

        using Visitor busy = await plant.Desk.VisitAsync(Role.Viewer);
        for (int minutes = 0; minutes < 100; minutes += 20)
        {
            plant.Time.Advance(TimeSpan.FromMinutes(20));
            _ = await busy.ReadAsync("/me");
        }

        plant.Time.Advance(TimeSpan.FromMinutes(20));
        Assert.True(await IsOutAsync(busy));
    }

    [Fact]
    public async Task A_copied_cookie_is_worth_nothing_after_signing_out()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        using Visitor visitor = await plant.Desk.VisitAsync(Role.Viewer);
        string cookie = visitor.Cookies.GetCookieHeader(new Uri(plant.Desk.Address));
        Assert.Equal(HttpStatusCode.OK, await WithAsync(cookie));
        (await visitor.SendAsync("/me", "/sign-out")).Dispose();
        Assert.True(await IsOutAsync(visitor));
        Assert.Equal(HttpStatusCode.Redirect, await WithAsync(cookie));

        async Task<HttpStatusCode> WithAsync(string header)
        {
            using HttpRequestMessage request = new(HttpMethod.Get, "/me");
            request.Headers.Add("Cookie", header);
            using HttpResponseMessage answer = await plant.Desk.Client.SendAsync(request, Ended);
            return answer.StatusCode;
        }
    }

    [Fact]
    public async Task A_new_password_ends_all_other_sessions()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        using Visitor other = await plant.Desk.VisitAsync(Role.Viewer);
        using Visitor visitor = await plant.Desk.VisitAsync(Role.Viewer);
        using HttpResponseMessage wrong = await visitor.SendAsync("/me", "/me/password", ("current", Wrong), ("new", Wrong), ("again", Wrong));
        Assert.Equal(HttpStatusCode.BadRequest, wrong.StatusCode);
        using HttpResponseMessage shorter = await visitor.SendAsync("/me", "/me/password", ("current", ServedDesk.Password), ("new", "eleven char"), ("again", "eleven char"));
        Assert.Contains("this one has 11", await shorter.Content.ReadAsStringAsync(Ended), StringComparison.Ordinal);
        using HttpResponseMessage changed = await visitor.SendAsync("/me", "/me/password", ("current", ServedDesk.Password), ("new", Wrong), ("again", Wrong));
        Assert.Equal(HttpStatusCode.Redirect, changed.StatusCode);
        _ = await visitor.ReadAsync("/me");
        Assert.True(await IsOutAsync(other));
        using Visitor again = new(plant.Desk.Address);
        await again.SignInAsync("the viewer", Wrong);
    }

    [Fact]
    public async Task Sessions_and_forms_outlive_a_restart_and_the_keys_are_the_owners_alone()
    {
        int port = FreePort.Find();
        await using PlantOfOne plant = await PlantOfOne.StartAsync(new WebSettings { Port = port, SignIn = "local" });
        using Visitor visitor = await plant.Desk.VisitAsync(Role.Viewer);
        string token = Visitor.TokenOf(await visitor.ReadAsync("/me"));
        await plant.Desk.DisposeAsync();
        await using ServedDesk again = await plant.ServeAsync(new WebSettings { Port = port, SignIn = "local" });
        _ = await visitor.ReadAsync("/me");
        using HttpResponseMessage unit = await visitor.SendWithAsync(token, "/unit", ("unit", "psi"), ("back", "/me"));
        Assert.Equal(HttpStatusCode.Redirect, unit.StatusCode);
        if (!OperatingSystem.IsWindows())
        {
            Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute, File.GetUnixFileMode(plant.KeyFolder));
            string key = Assert.Single(Directory.GetFiles(plant.KeyFolder));
            Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(key));
        }
    }

    [Fact]
    public async Task A_password_set_by_someone_else_is_changed_before_anything_else()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        _ = plant.Desk.Add("Ada", Role.Administrator, mustChange: true);
        using Visitor visitor = new(plant.Desk.Address);
        using HttpResponseMessage signedIn = await visitor.TrySignInAsync("Ada", ServedDesk.Password, "/audit");
        Assert.Equal("/me", signedIn.Headers.Location!.ToString());
        using HttpResponseMessage audit = await visitor.GetAsync("/audit");
        Assert.Equal("/me", audit.Headers.Location!.ToString());
        using HttpResponseMessage api = await visitor.GetAsync("/api/v1/vessels");
        Assert.Equal(HttpStatusCode.Forbidden, api.StatusCode);
        using HttpResponseMessage made = await visitor.SendAsync("/me", "/me/tokens", ("name", "x"), ("role", "viewer"), ("days", "1"));
        Assert.Equal("/me", made.Headers.Location?.ToString());
        Assert.Empty(plant.Store.TokensOf(null));
        (await visitor.SendAsync("/me", "/me/password", ("current", ServedDesk.Password), ("new", Wrong), ("again", Wrong))).Dispose();
        _ = await visitor.ReadAsync("/audit");
    }

    [Theory]
    [InlineData("/people")]
    [InlineData("/audit")]
    [InlineData("/audit.csv")]
    public async Task Only_administrators_see_people_and_what_they_did(string address)
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        foreach (Role role in Enum.GetValues<Role>())
        {
            using Visitor visitor = await plant.Desk.VisitAsync(role);
            using HttpResponseMessage answer = await visitor.GetAsync(address);
            Assert.Equal(role == Role.Administrator ? HttpStatusCode.OK : HttpStatusCode.Forbidden, answer.StatusCode);
        }

        await using ServedDesk open = await plant.ServeAsync(new WebSettings { Port = 0 });
        using HttpResponseMessage nobody = await open.Client.GetAsync(address, Ended);
        Assert.Contains(nobody.StatusCode, (HttpStatusCode[])[HttpStatusCode.Forbidden, HttpStatusCode.NotFound]);
    }

    [Fact]
    public async Task A_form_is_taken_from_a_page_of_its_sender_only()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        using Visitor admin = await plant.Desk.VisitAsync(Role.Administrator);
        using Visitor viewer = await plant.Desk.VisitAsync(Role.Viewer);
        string id = plant.Store.AccountNamed("the viewer")!.Person.Id;
        string others = Visitor.TokenOf(await viewer.ReadAsync("/me"));
        using HttpResponseMessage bare = await admin.Client.PostAsync($"/people/{id}/disable", new FormUrlEncodedContent([]), Ended);
        Assert.Equal(HttpStatusCode.Forbidden, bare.StatusCode);
        using HttpResponseMessage foreign = await admin.SendWithAsync(others, $"/people/{id}/disable");
        Assert.Equal(HttpStatusCode.Forbidden, foreign.StatusCode);
        Assert.Contains("The form is not taken", await foreign.Content.ReadAsStringAsync(Ended), StringComparison.Ordinal);
        string own = Visitor.TokenOf(await admin.ReadAsync("/people"));
        admin.Client.DefaultRequestHeaders.Add("Sec-Fetch-Site", "cross-site");
        using HttpResponseMessage cross = await admin.SendWithAsync(own, $"/people/{id}/disable");
        Assert.Equal(HttpStatusCode.Forbidden, cross.StatusCode);
        Assert.False(plant.Store.AccountOf(id)!.Disabled);
        admin.Client.DefaultRequestHeaders.Remove("Sec-Fetch-Site");
        using HttpResponseMessage good = await admin.SendWithAsync(own, $"/people/{id}/disable");
        Assert.Equal(HttpStatusCode.Redirect, good.StatusCode);
        Assert.True(plant.Store.AccountOf(id)!.Disabled);
        Assert.True(await IsOutAsync(viewer));
    }

    [Fact]
    public async Task An_administrator_adds_people_and_changes_roles_and_never_takes_the_last_administrator_away()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        using Visitor admin = await plant.Desk.VisitAsync(Role.Administrator);
        (await admin.SendAsync("/people", "/people", ("name", "Bea"), ("role", "technician"), ("password", Wrong))).Dispose();
        Account bea = plant.Store.AccountNamed("Bea")!;
        Assert.Equal((Role.Technician, true), (bea.Person.Role, bea.MustChange));
        using HttpResponseMessage twice = await admin.SendAsync("/people", "/people", ("name", "BEA"), ("role", "viewer"), ("password", Wrong));
        Assert.Contains("already someone named BEA", await twice.Content.ReadAsStringAsync(Ended), StringComparison.Ordinal);
        (await admin.SendAsync("/people", $"/people/{bea.Person.Id}/role", ("role", "engineer"))).Dispose();
        Assert.Equal(Role.Engineer, plant.Store.AccountNamed("Bea")!.Person.Role);
        string own = plant.Store.AccountNamed("the administrator")!.Person.Id;
        foreach ((string action, (string, string)[] fields) in ((string, (string, string)[])[])[("disable", []), ("role", [("role", "viewer")])])
        {
            using HttpResponseMessage refused = await admin.SendAsync("/people", $"/people/{own}/{action}", fields);
            Assert.Contains("last administrator", await refused.Content.ReadAsStringAsync(Ended), StringComparison.Ordinal);
        }

        AuditLine[] lines = [.. plant.Store.AuditBefore(long.MaxValue, 100, "Bea")];
        Assert.Equal(["role changed", "person added"], lines.Select(line => line.Entry.What));
        Assert.Equal(("Technician", "Engineer", "the administrator", "127.0.0.1"), (lines[0].Entry.Before, lines[0].Entry.After, lines[0].Entry.PersonName, lines[0].Entry.From));
    }

    [Fact]
    public async Task The_audit_log_pages_through_and_is_saved_whole()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        for (int i = 0; i < 120; i++)
        {
            plant.Store.Record(new AuditEntry(plant.Time.GetUtcNow(), "", "test", "test", "tried", $"=thing {i}, \"quoted\""));
        }

        using Visitor admin = await plant.Desk.VisitAsync(Role.Administrator);
        HashSet<string> seen = [];
        string? next = "/audit?q=tried";
        int pages = 0;
        while (next is not null)
        {
            string page = await admin.ReadAsync(next);
            seen.UnionWith(System.Text.RegularExpressions.Regex.Matches(page, "thing \\d+").Select(match => match.Value));
            System.Text.RegularExpressions.Match older = System.Text.RegularExpressions.Regex.Match(page, "rel=\"next\" href=\"([^\"]+)\"");
            next = older.Success ? WebUtility.HtmlDecode(older.Groups[1].Value) : null;
            pages++;
        }

        Assert.Equal((120, 3), (seen.Count, pages));
        string[] table = (await admin.ReadAsync("/audit.csv?q=tried")).Split("\r\n", StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal(121, table.Length);
        Assert.EndsWith(",tried,\"'=thing 119, \"\"quoted\"\"\",,", table[1], StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("UPDATE audit SET person_name = 'someone else'")]
    [InlineData("DELETE FROM audit")]
    public async Task The_audit_log_is_only_added_to(string sql)
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        plant.Store.Record(new AuditEntry(plant.Time.GetUtcNow(), "", "test", "test", "tried"));
        SqliteException refused = Assert.Throws<SqliteException>(() => plant.Execute(sql));
        Assert.Contains("only added to", refused.Message, StringComparison.Ordinal);
        Assert.Single(plant.Store.AuditBefore(long.MaxValue, 10));
    }

    [Theory]
    [InlineData("127.0.0.1", "https", HttpStatusCode.Redirect)]
    [InlineData("127.0.0.1", "http", HttpStatusCode.Forbidden)]
    [InlineData("127.0.0.1", null, HttpStatusCode.Forbidden)]
    [InlineData("192.0.2.1", "https", HttpStatusCode.Forbidden)]
    public async Task Behind_a_proxy_only_the_proxy_is_answered_and_only_over_tls(string trusted, string? scheme, HttpStatusCode status)
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync(new WebSettings { Port = 0, SignIn = "local", BehindProxy = new ProxySettings { TrustedProxies = [trusted] } });
        using HttpRequestMessage request = new(HttpMethod.Get, "/");
        request.Headers.Add("X-Forwarded-For", "192.0.2.77");
        if (scheme is not null)
        {
            request.Headers.Add("X-Forwarded-Proto", scheme);
        }

        using HttpResponseMessage answer = await plant.Desk.Client.SendAsync(request, Ended);
        Assert.Equal(status, answer.StatusCode);
    }

    [Fact]
    public async Task With_a_certificate_the_pages_speak_tls_and_say_that_they_always_will()
    {
        using TestCertificates certificates = new();
        await using PlantOfOne plant = await PlantOfOne.StartAsync(new WebSettings { Port = 0, SignIn = "local", CertificateFile = certificates.CertificateFile, KeyFile = certificates.KeyFile });
        Assert.StartsWith("https://", plant.Desk.Address, StringComparison.Ordinal);
        using System.Security.Cryptography.X509Certificates.X509Certificate2 authority =
            System.Security.Cryptography.X509Certificates.X509CertificateLoader.LoadCertificateFromFile(certificates.AuthorityFile);
        using HttpClientHandler handler = new()
        {
            AllowAutoRedirect = false,
            ServerCertificateCustomValidationCallback = (_, certificate, chain, _) =>
            {
                chain!.ChainPolicy.TrustMode = System.Security.Cryptography.X509Certificates.X509ChainTrustMode.CustomRootTrust;
                chain.ChainPolicy.CustomTrustStore.Add(authority);
                chain.ChainPolicy.RevocationMode = System.Security.Cryptography.X509Certificates.X509RevocationMode.NoCheck;
                return chain.Build(certificate!);
            },
        };
        using HttpClient client = new(handler) { BaseAddress = new Uri(plant.Desk.Address) };
        using HttpResponseMessage answer = await client.GetAsync("/sign-in", Ended);
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        Assert.Equal("max-age=31536000", Assert.Single(answer.Headers.GetValues("Strict-Transport-Security")));
        Assert.StartsWith("__Host-driftwatch-form=", Assert.Single(answer.Headers.GetValues("Set-Cookie")), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_hash_of_fewer_rounds_is_replaced_when_its_password_is_next_given()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        string weak = new Microsoft.AspNetCore.Identity.PasswordHasher<Account>().HashPassword(null!, ServedDesk.Password);
        Account ada = plant.Desk.Add("Ada", Role.Viewer);
        Assert.Equal(WriteOutcome.Done, plant.Store.Change(ada.Person.Id, account => account with { PasswordHash = weak }, new AuditEntry(plant.Time.GetUtcNow(), "", "test", "test", "password reset", "Ada")));
        using Visitor visitor = new(plant.Desk.Address);
        await visitor.SignInAsync("Ada", ServedDesk.Password);
        string now = plant.Store.AccountNamed("Ada")!.PasswordHash;
        Assert.NotEqual(weak, now);

        // Format of the framework's hash, version 3: a byte 1, then function (2 is HMAC-SHA512), rounds, length of the salt, big-endian.
        byte[] bytes = Convert.FromBase64String(now);
        Assert.Equal(1, bytes[0]);
        Assert.Equal(2u, System.Buffers.Binary.BinaryPrimitives.ReadUInt32BigEndian(bytes.AsSpan(1)));

        // OWASP Password Storage Cheat Sheet: PBKDF2-HMAC-SHA512 with 210,000 iterations or more (from memory).
        Assert.True(System.Buffers.Binary.BinaryPrimitives.ReadUInt32BigEndian(bytes.AsSpan(5)) >= 210_000);
    }

    public static TheoryData<string, string> FaultySettings => new()
    {
        { """{ "address": "0.0.0.0" }""", "there is no sign-in" },
        { """{ "address": "0.0.0.0", "signIn": "local", "names": ["plant.example"] }""", "in the clear" },
        { """{ "address": "0.0.0.0", "signIn": "local", "certificateFile": "x.pem" }""", "web.names" },
        { """{ "address": "plant.example" }""", "IP address of this machine" },
        { """{ "signIn": "maybe" }""", "\"none\", \"local\" or \"oidc\"" },
        { """{ "signIn": "oidc" }""", "belong together" },
        { """{ "signIn": "local", "behindProxy": {} }""", "trustedProxies is empty" },
        { """{ "signIn": "local", "behindProxy": { "trustedProxies": ["proxy"] } }""", "'proxy'" },
        { """{ "signIn": "local", "idleMinutes": 2 }""", "5 to 1440" },
        { """{ "signIn": "oidc", "oidc": { "authority": "http://login.example", "clientId": "x", "roles": { "a": "viewer" } } }""", "https" },
        { """{ "signIn": "oidc", "oidc": { "authority": "https://login.example", "clientId": "x", "roles": { "a": "king" } } }""", "'king'" },
    };

    [Theory]
    [MemberData(nameof(FaultySettings))]
    public void Settings_that_would_leave_a_door_open_are_refused(string web, string says)
    {
        WebSettings settings = JsonSerializer.Deserialize<WebSettings>(web, JsonSerializerOptions.Web)!;
        Assert.Contains(settings.Faults(), fault => fault.Contains(says, StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("""{ "address": "0.0.0.0", "signIn": "local", "names": ["plant.example"], "certificateFile": "x.pem", "keyFile": "x.key" }""")]
    [InlineData("""{ "address": "::", "signIn": "local", "names": ["plant.example"], "behindProxy": { "trustedProxies": ["192.0.2.1", "2001:db8::1"] } }""")]
    [InlineData("""{ "signIn": "oidc", "oidc": { "authority": "https://login.example", "clientId": "x", "roles": { "a": "viewer" } } }""")]
    public void Settings_with_sign_in_and_tls_are_taken(string web) =>
        Assert.Empty(JsonSerializer.Deserialize<WebSettings>(web, JsonSerializerOptions.Web)!.Faults());

    private static async Task<bool> IsOutAsync(Visitor visitor)
    {
        using HttpResponseMessage answer = await visitor.GetAsync("/me");
        return answer.StatusCode == HttpStatusCode.Redirect && answer.Headers.Location!.ToString().Contains("/sign-in", StringComparison.Ordinal);
    }
}
