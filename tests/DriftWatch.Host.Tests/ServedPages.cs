using System.Text.RegularExpressions;

namespace DriftWatch.Host.Tests;

/// <summary>The command <c>pages</c>, running; stopped as by Ctrl+C.</summary>
internal sealed partial class ServedPages : IAsyncDisposable
{
    private readonly ProgramRun _run;
    private readonly string _address;

    private ServedPages(ProgramRun run, string address)
    {
        _run = run;
        _address = address;
    }

    /// <summary>Starts it and waits for the address that it names.</summary>
    public static async Task<ServedPages> StartAsync(string[] words)
    {
        ProgramRun run = ProgramRun.Start(words);
        return new ServedPages(run, Address().Match(await run.SaysAsync("http://")).Value);
    }

    public async Task<string> FirstPageAsync()
    {
        using HttpClient client = new();
        return await client.GetStringAsync(new Uri(_address), TestContext.Current.CancellationToken);
    }

    public async ValueTask DisposeAsync()
    {
        _ = await _run.TerminateAsync();
        _run.Dispose();
    }

    [GeneratedRegex(@"http://[0-9.:]+")]
    private static partial Regex Address();
}
