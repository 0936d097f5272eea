using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;

namespace DriftWatch.Acquisition.Mqtt;

/// <summary>
/// A certificate that is shown to those who connect, asked for at each connection and read anew when its file has changed, so that a
/// renewed one needs no restart. Thread-safe.
/// </summary>
public sealed class RenewedCertificate
{
    private readonly string _file;
    private readonly string? _keyFile;
    private readonly Lock _lock = new();
    private X509Certificate2 _certificate;
    private DateTime _written;

    /// <summary>Reads it for the first time.</summary>
    /// <param name="file">PEM file of the certificate.</param>
    /// <param name="keyFile">PEM file of its key; null where the certificate's file holds it.</param>
    /// <exception cref="IOException">It cannot be read.</exception>
    /// <exception cref="UnauthorizedAccessException">It may not be read.</exception>
    /// <exception cref="CryptographicException">Its file holds none, or its key does not fit.</exception>
    public RenewedCertificate(string file, string? keyFile)
    {
        _file = file;
        _keyFile = keyFile;
        _written = Written();
        _certificate = Read();
    }

    /// <summary>The certificate with its key as the files hold them now; the one before while they cannot be read.</summary>
    public X509Certificate2 Current()
    {
        lock (_lock)
        {
            try
            {
                DateTime written = Written();
                if (written != _written)
                {
                    _certificate = Read();
                    _written = written;
                }
            }
            catch (Exception failure) when (failure is IOException or UnauthorizedAccessException or ArgumentException or CryptographicException)
            {
                // Certificate and key are being exchanged: the old pair serves until both fit. The health tells of one that stays unreadable.
            }

            return _certificate;
        }
    }

    /// <summary>When it was written; of a link, what it leads to, as links are often left alone when a certificate is renewed.</summary>
    private DateTime Written() => (File.ResolveLinkTarget(_file, returnFinalTarget: true) ?? new FileInfo(_file)).LastWriteTimeUtc;

    private X509Certificate2 Read()
    {
        using X509Certificate2 pem = X509Certificate2.CreateFromPemFile(_file, _keyFile);

        // Windows serves TLS only with a key that has been in a store's form.
        return X509CertificateLoader.LoadPkcs12(pem.Export(X509ContentType.Pkcs12), null);
    }
}
