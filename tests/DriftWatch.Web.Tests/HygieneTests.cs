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

    [Fact]
    public async Task A_request_under_a_foreign_name_is_refused()
    {
        using var request = new HttpRequestMessage(HttpMethod.Get, "/");
        request.Headers.Host = "plant.example";
        using HttpResponseMessage answer = await fixture.Desk.Client.SendAsync(request, Ended);
        Assert.Equal(HttpStatusCode.MisdirectedRequest, answer.StatusCode);
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

    [Theory]
    [InlineData("cross-site", "/", 403)]
    [InlineData("same-origin", "/vessels/PR1-A1", 302)]
    public async Task The_unit_is_chosen_by_a_form_of_ours_only(string site, string back, int status)
    {
        using var request = new HttpRequestMessage(HttpMethod.Post, "/unit");
        request.Headers.Add("Sec-Fetch-Site", site);
        request.Content = new FormUrlEncodedContent(new Dictionary<string, string> { ["unit"] = "psi", ["back"] = back });
        using HttpResponseMessage answer = await fixture.Desk.Client.SendAsync(request, Ended);
        Assert.Equal(status, (int)answer.StatusCode);
        Assert.Equal(status == 302, answer.Headers.Contains("Set-Cookie"));
    }

    [Theory]
    [InlineData("//elsewhere.example/")]
    [InlineData("/\\elsewhere.example/")]
    [InlineData("https://elsewhere.example/")]
    public async Task Nobody_is_sent_elsewhere(string back)
    {
        using HttpResponseMessage answer = await fixture.Desk.Client.PostAsync(
            "/unit", new FormUrlEncodedContent(new Dictionary<string, string> { ["unit"] = "psi", ["back"] = back }), Ended);
        Assert.Equal("/", answer.Headers.Location!.ToString());
    }

    [Theory]
    [InlineData("0.0.0.0")]
    [InlineData("::")]
    [InlineData("192.0.2.7")]
    [InlineData("plant.example")]
    [InlineData("")]
    public void An_address_other_than_this_machines_own_is_refused_with_the_reason(string address)
    {
        string fault = Assert.Single(new WebSettings { Address = address }.Faults());
        Assert.Contains($"'{address}'", fault, StringComparison.Ordinal);
        Assert.Contains("no sign-in yet", fault, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("127.0.0.1")]
    [InlineData("::1")]
    [InlineData("localhost")]
    public void This_machines_own_addresses_are_taken(string address) => Assert.Empty(new WebSettings { Address = address }.Faults());
}
