using System.Net;
using System.Text.RegularExpressions;

namespace DriftWatch.Web.Tests;

/// <summary>A browser without scripts: keeps cookies, sends forms with the token of the page that holds them.</summary>
internal sealed class Visitor : IDisposable
{
    private readonly HttpClientHandler _handler;

    public Visitor(string address, string? from = null)
    {
        _handler = new HttpClientHandler { AllowAutoRedirect = false, CookieContainer = Cookies };
        Client = new HttpClient(_handler) { BaseAddress = new Uri(address) };
        if (from is not null)
        {
            Client.DefaultRequestHeaders.Add("X-Forwarded-For", from);
        }
    }

    public HttpClient Client { get; }

    public CookieContainer Cookies { get; } = new();

    public Task<HttpResponseMessage> GetAsync(string address) => Client.GetAsync(address, TestContext.Current.CancellationToken);

    public async Task<string> ReadAsync(string address)
    {
        using HttpResponseMessage answer = await GetAsync(address);
        string body = await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
        Assert.True(answer.IsSuccessStatusCode, $"{address}: {(int)answer.StatusCode} {body}");
        return body;
    }

    /// <summary>Opens a page and sends a form from it.</summary>
    public async Task<HttpResponseMessage> SendAsync(string page, string action, params (string Name, string Value)[] fields) =>
        await SendWithAsync(TokenOf(await ReadAsync(page)), action, fields);

    /// <summary>Sends a form with a token.</summary>
    public Task<HttpResponseMessage> SendWithAsync(string token, string action, params (string Name, string Value)[] fields) => Client.PostAsync(
        action,
        new FormUrlEncodedContent(fields.Append(("__RequestVerificationToken", token)).Select(field => KeyValuePair.Create(field.Item1, field.Item2))),
        TestContext.Current.CancellationToken);

    public Task<HttpResponseMessage> TrySignInAsync(string name, string password, string back = "/") =>
        SendAsync("/sign-in", "/sign-in", ("name", name), ("password", password), ("back", back));

    public async Task SignInAsync(string name, string password)
    {
        using HttpResponseMessage answer = await TrySignInAsync(name, password);
        Assert.Equal(HttpStatusCode.Redirect, answer.StatusCode);
    }

    public static string TokenOf(string page) =>
        Regex.Match(page, "name=\"__RequestVerificationToken\" value=\"([^\"]+)\"") is { Success: true } found
            ? found.Groups[1].Value
            : throw new InvalidOperationException("The page holds no form token.");

    public void Dispose()
    {
        Client.Dispose();
        _handler.Dispose();
    }
}
