using System.Diagnostics;
using System.Globalization;
using System.Text.Json;

namespace DriftWatch.TestPeers;

/// <summary>
/// A real SMTP server (aiosmtpd) on a free port of 127.0.0.1: takes mail after STARTTLS and login as <c>jobs</c> with
/// the password given, refuses a subject with 'REFUSE' and a recipient with 'gone' for good, a subject with 'LATER' and a recipient with
/// 'full' for now, and keeps what it took.
/// </summary>
public sealed class SmtpSink : IAsyncDisposable
{
    private const string Script =
        """
        import base64, json, ssl, sys, threading
        from aiosmtpd.controller import Controller
        from aiosmtpd.smtp import AuthResult
        port, certificate, key, password = int(sys.argv[1]), sys.argv[2], sys.argv[3], sys.argv[4]

        class Sink:
            async def handle_RCPT(self, server, session, envelope, address, options):
                if "gone" in address:
                    return "550 5.1.1 nobody of that name"
                if "full" in address:
                    return "452 4.2.2 mailbox full"
                envelope.rcpt_tos.append(address)
                return "250 taken"

            async def handle_DATA(self, server, session, envelope):
                if b"REFUSE" in envelope.content:
                    return "554 not this one"
                if b"LATER" in envelope.content:
                    return "451 not now"
                print("mail " + json.dumps({
                    "from": envelope.mail_from, "to": envelope.rcpt_tos, "tls": session.ssl is not None,
                    "content": base64.b64encode(envelope.content).decode()}), flush=True)
                return "250 taken"

        def check(server, session, envelope, mechanism, data):
            return AuthResult(success=data.login == b"jobs" and data.password == password.encode(), handled=False)

        tls = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
        tls.load_cert_chain(certificate, key)
        Controller(Sink(), hostname="127.0.0.1", port=port, tls_context=tls, require_starttls=True,
                   authenticator=check, auth_required=True, ready_timeout=60).start()
        print("running", flush=True)
        threading.Event().wait()
        """;

    private readonly PeerProcess _process;
    private int _next;

    private SmtpSink(PeerProcess process, int port)
    {
        _process = process;
        Port = port;
    }

    public int Port { get; }

    public static async Task<SmtpSink> StartAsync(TestCertificates certificates, string password)
    {
        int port = FreePort.Find();
        PeerProcess process = PeerProcess.Start(new ProcessStartInfo(
            "/usr/bin/python3", ["-c", Script, port.ToString(CultureInfo.InvariantCulture), certificates.CertificateFile, certificates.KeyFile, password]));
        SmtpSink sink = new(process, port);
        (_, sink._next) = await process.SaysAsync(line => line == "running");
        return sink;
    }

    /// <summary>The next mail: envelope, whether it came over TLS, and its bytes.</summary>
    public async Task<(string From, string[] To, bool Tls, byte[] Content)> TakeAsync()
    {
        (string line, _next) = await _process.SaysAsync(said => said.StartsWith("mail ", StringComparison.Ordinal), _next);
        JsonElement mail = JsonDocument.Parse(line["mail ".Length..]).RootElement;
        return (
            mail.GetProperty("from").GetString()!,
            [.. mail.GetProperty("to").EnumerateArray().Select(address => address.GetString()!)],
            mail.GetProperty("tls").GetBoolean(),
            mail.GetProperty("content").GetBytesFromBase64());
    }

    public ValueTask DisposeAsync() => _process.DisposeAsync();
}
