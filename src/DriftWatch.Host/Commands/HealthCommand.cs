using System.CommandLine;
using System.Net;
using System.Security.Cryptography.X509Certificates;
using DriftWatch.Host.Settings;

namespace DriftWatch.Host.Commands;

/// <summary>Asks the service on this machine whether it is ready, for a container's or a supervisor's health check.</summary>
internal static class HealthCommand
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(8);

    public static Command Create()
    {
        Option<FileInfo> file = SettingsOption.Create();
        Command command = new("health", "Ask the running service of these settings whether it is ready: exit code 0 when it is, else 1.") { file };
        command.SetAction((parsed, stop) => AskAsync(parsed.GetRequiredValue(file), stop));
        return command;
    }

    private static async Task<int> AskAsync(FileInfo file, CancellationToken stop)
    {
        if (SettingsOption.Read(file, Console.Error) is not { } settings)
        {
            return ExitCode.BadInput;
        }

        if (settings.Web is not { } web)
        {
            await Console.Error.WriteLineAsync($"{file.Name}: web is null: the service answers over HTTP only where it serves pages.");
            return ExitCode.BadInput;
        }

        // Over TLS it must be the service's own certificate, whatever name it bears: this machine is asked by its address.
        string[] unreadable = web.CertificateFile is { } named ? [.. NamedFile.AuthorityFaults("web.certificateFile", named)] : [];
        if (unreadable.Length > 0)
        {
            await Console.Error.WriteLineAsync($"{file.Name}: {unreadable[0]}");
            return ExitCode.BadInput;
        }

        byte[]? own = web.CertificateFile is { } certificate ? X509CertificateLoader.LoadCertificateFromFile(certificate).RawData : null;
        using HttpClientHandler handler = new();
        handler.ServerCertificateCustomValidationCallback = (_, shown, _, _) => own is not null && shown is not null && shown.RawData.AsSpan().SequenceEqual(own);
        using HttpClient client = new(handler) { Timeout = Patience };
        IPAddress address = web.Listening() is { } listening && !listening.Equals(IPAddress.Any) && !listening.Equals(IPAddress.IPv6Any) ? listening : IPAddress.Loopback;
        Uri ask = new UriBuilder(own is null ? "http" : "https", address.ToString(), web.Port, "/health/ready").Uri;
        try
        {
            using HttpRequestMessage request = new(HttpMethod.Get, ask);
            request.Headers.Host = FormattableString.Invariant($"localhost:{web.Port}");
            using HttpResponseMessage answer = await client.SendAsync(request, stop);
            string said = await answer.Content.ReadAsStringAsync(stop);
            await (answer.IsSuccessStatusCode ? Console.Out : Console.Error).WriteLineAsync(said.Trim());
            return answer.IsSuccessStatusCode ? ExitCode.Done : ExitCode.NotReady;
        }
        catch (Exception exception) when (exception is HttpRequestException or TaskCanceledException && !stop.IsCancellationRequested)
        {
            await Console.Error.WriteLineAsync($"The service does not answer at {ask}: {exception.Message}");
            return ExitCode.NotReady;
        }
    }
}
