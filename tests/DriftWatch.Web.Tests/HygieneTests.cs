using System.Net;
using System.Text.RegularExpressions;
using DriftWatch.Host.Settings;

namespace DriftWatch.Web.Tests;

/// <summary>What a browser is told, and who is answered.</summary>
public sealed class HygieneTests(DeskFixture fixture)
{
    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData("/")]
    [InlineData("/vessels/PR1-A1")]
    [InlineData("/vessels/PR1-A1/trend.svg")]
    [InlineData("/vessels.csv")]
    [InlineData("/api/v1/vessels")]
    [InlineData("/nowhere")]
    public async Task Every_answer_closes_the_doors(string address)
    {
        using HttpResponseMessage answer = await fixture.Desk.Client.GetAsync(address, Ended);
        string policy = Assert.Single(answer.Headers.GetValues("Content-Security-Policy"));
        Assert.Contains("default-src 'none'", policy, StringComparison.Ordinal);
        Assert.Contains("frame-ancestors 'none'", policy, StringComparison.Ordinal);
        Assert.DoesNotContain("unsafe", policy, StringComparison.Ordinal);
        Assert.Equal("nosniff", Assert.Single(answer.Headers.GetValues("X-Content-Type-Options")));
        Assert.Equal("same-origin", Assert.Single(answer.Headers.GetValues("Cross-Origin-Resource-Policy")));
        Assert.Empty(answer.Headers.Server);
    }

    [Theory]
    [InlineData("/", "text/plain")]
    [InlineData("/api/v1/vessels", "application/problem+json")]
    public async Task A_request_under_a_foreign_name_is_refused(string address, string type)
    {
        using var request = new HttpRequestMessage(HttpMethod.Get, address);
        request.Headers.Host = "plant.example";
        using HttpResponseMessage answer = await fixture.Desk.Client.SendAsync(request, Ended);
        Assert.Equal(HttpStatusCode.MisdirectedRequest, answer.StatusCode);
        Assert.Equal(type, answer.Content.Headers.ContentType?.MediaType ?? "text/plain");
        Assert.DoesNotContain("PR1-A1", await answer.Content.ReadAsStringAsync(Ended), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Files_of_the_pages_are_kept_by_the_browser_and_named_by_their_content()
    {
        string page = await fixture.Desk.Client.GetStringAsync("/", Ended);
        Match style = Regex.Match(page, "href=\"(/assets/[^\"]+/desk\\.css)\"");
        using HttpResponseMessage answer = await fixture.Desk.Client.GetAsync(style.Groups[1].Value, Ended);
        Assert.Contains("immutable", answer.Headers.CacheControl!.ToString(), StringComparison.Ordinal);
        Assert.Equal("text/css", answer.Content.Headers.ContentType!.MediaType);
        using HttpResponseMessage other = await fixture.Desk.Client.GetAsync("/assets/0000000000000000/desk.css", Ended);
        Assert.Equal(HttpStatusCode.NotFound, other.StatusCode);
    }

    [Fact]
    public async Task The_unit_is_chosen_by_a_form_of_ours_only()
    {
        using Visitor visitor = new(fixture.Desk.Address);
        using HttpResponseMessage bare = await visitor.Client.PostAsync("/unit", new FormUrlEncodedContent([new("unit", "psi")]), Ended);
        Assert.Equal(HttpStatusCode.Forbidden, bare.StatusCode);
        string token = Visitor.TokenOf(await visitor.ReadAsync("/vessels/PR1-A1"));
        visitor.Client.DefaultRequestHeaders.Add("Sec-Fetch-Site", "cross-site");
        using HttpResponseMessage cross = await visitor.SendWithAsync(token, "/unit", ("unit", "psi"), ("back", "/"));
        Assert.Equal(HttpStatusCode.Forbidden, cross.StatusCode);
        Assert.False(cross.Headers.Contains("Set-Cookie"));
        visitor.Client.DefaultRequestHeaders.Remove("Sec-Fetch-Site");
        visitor.Client.DefaultRequestHeaders.Add("Sec-Fetch-Site", "same-origin");
        using HttpResponseMessage good = await visitor.SendWithAsync(token, "/unit", ("unit", "psi"), ("back", "/vessels/PR1-A1"));
        Assert.Equal("/vessels/PR1-A1", good.Headers.Location!.ToString());
        Assert.True(good.Headers.Contains("Set-Cookie"));
    }

    /// <summary>A form that cannot be read is its sender's failure: no fault of the service, and none of its log.</summary>
    [Theory]
    [InlineData("application/x-www-form-urlencoded", 100_000, "x", 413)]
    [InlineData("application/x-www-form-urlencoded", 3000, "a=b&", 400)]
    [InlineData("multipart/form-data; boundary=x", 1, "--x\r\nbroken", 400)]
    [InlineData("multipart/form-data", 1, "no boundary", 400)]
    public async Task A_form_that_cannot_be_read_is_refused_with_its_reason(string type, int times, string part, int status)
    {
        using Visitor visitor = new(fixture.Desk.Address);
        using StringContent body = new(string.Concat(Enumerable.Repeat(part, times)));
        body.Headers.ContentType = System.Net.Http.Headers.MediaTypeHeaderValue.Parse(type);
        using HttpResponseMessage answer = await visitor.Client.PostAsync("/unit", body, Ended);
        Assert.Equal(status, (int)answer.StatusCode);
        Assert.Contains("The form cannot be read: ", await answer.Content.ReadAsStringAsync(Ended), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("//elsewhere.example/")]
    [InlineData("/\\elsewhere.example/")]
    [InlineData("https://elsewhere.example/")]
    public async Task Nobody_is_sent_elsewhere(string back)
    {
        using Visitor visitor = new(fixture.Desk.Address);
        using HttpResponseMessage answer = await visitor.SendAsync("/", "/unit", ("unit", "psi"), ("back", back));
        Assert.Equal("/", answer.Headers.Location!.ToString());
    }

    [Theory]
    [InlineData("0.0.0.0")]
    [InlineData("::")]
    [InlineData("192.0.2.7")]
    public void Without_a_sign_in_an_address_other_than_this_machines_own_is_refused_with_the_reason(string address) =>
        Assert.Contains(
            new WebSettings { Address = address, Names = ["plant.example"] }.Faults(),
            fault => fault.Contains($"'{address}'", StringComparison.Ordinal) && fault.Contains("no sign-in", StringComparison.Ordinal));

    [Theory]
    [InlineData("127.0.0.1")]
    [InlineData("::1")]
    [InlineData("localhost")]
    public void This_machines_own_addresses_are_taken(string address) => Assert.Empty(new WebSettings { Address = address }.Faults());
}
