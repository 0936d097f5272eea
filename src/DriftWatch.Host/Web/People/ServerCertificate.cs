using System.Security.Authentication;
using System.Security.Cryptography.X509Certificates;
using Microsoft.AspNetCore.Server.Kestrel.Https;

namespace DriftWatch.Host.Web.People;

/// <summary>The certificate of the pages, read anew when its file has changed, so that a renewed one needs no restart.</summary>
internal sealed class ServerCertificate
{
    private readonly string _file;
    private readonly string? _keyFile;
    private readonly Lock _lock = new();
    private X509Certificate2 _certificate;
    private DateTime _written;

    /// <exception cref="InvalidOperationException">It cannot be read; the message says why.</exception>
    public ServerCertificate(string file, string? keyFile)
    {
        _file = file;
        _keyFile = keyFile;
        try
        {
            _written = File.GetLastWriteTimeUtc(file);
            _certificate = Read();
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException or ArgumentException or System.Security.Cryptography.CryptographicException)
        {
            throw new InvalidOperationException($"web.certificateFile '{file}'{(keyFile is null ? "" : $" with web.keyFile '{keyFile}'")} cannot be read: {failure.Message}", failure);
        }
    }

    public void Shape(HttpsConnectionAdapterOptions options)
    {
        options.ServerCertificateSelector = (_, _) => Current();
        options.SslProtocols = SslProtocols.Tls12 | SslProtocols.Tls13;
    }

    private X509Certificate2 Current()
    {
        lock (_lock)
        {
            try
            {
                DateTime written = File.GetLastWriteTimeUtc(_file);
                if (written != _written)
                {
                    _certificate = Read();
                    _written = written;
                }
            }
            catch (Exception failure) when (failure is IOException or UnauthorizedAccessException or ArgumentException or System.Security.Cryptography.CryptographicException)
            {
                // Certificate and key are being exchanged: the old pair serves until both fit.
            }

            return _certificate;
        }
    }

    private X509Certificate2 Read()
    {
        using X509Certificate2 pem = X509Certificate2.CreateFromPemFile(_file, _keyFile);

        // Windows serves TLS only with a key that has been in a store's form.
        return X509CertificateLoader.LoadPkcs12(pem.Export(X509ContentType.Pkcs12), null);
    }
}
