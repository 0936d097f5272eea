using System.Security.Authentication;
using System.Security.Cryptography;
using DriftWatch.Acquisition.Mqtt;
using Microsoft.AspNetCore.Server.Kestrel.Https;

namespace DriftWatch.Host.Web.People;

/// <summary>The certificate of the pages.</summary>
internal sealed class ServerCertificate
{
    private readonly RenewedCertificate _certificate;

    /// <exception cref="InvalidOperationException">It cannot be read; the message says why.</exception>
    public ServerCertificate(string file, string? keyFile)
    {
        try
        {
            _certificate = new RenewedCertificate(file, keyFile);
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException or ArgumentException or CryptographicException)
        {
            throw new InvalidOperationException($"web.certificateFile '{file}'{(keyFile is null ? "" : $" with web.keyFile '{keyFile}'")} cannot be read: {failure.Message}", failure);
        }
    }

    public void Shape(HttpsConnectionAdapterOptions options)
    {
        options.ServerCertificateSelector = (_, _) => _certificate.Current();
        options.SslProtocols = SslProtocols.Tls12 | SslProtocols.Tls13;
    }
}
