using System.Net;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;

namespace DriftWatch.TestPeers;

/// <summary>An authority of a test's own and a certificate of it for 127.0.0.1 and localhost, as PEM files in a folder; gone afterwards.</summary>
public sealed class TestCertificates : IDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("driftwatch-certificates-");

    public TestCertificates()
    {
        using ECDsa authorityKey = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        CertificateRequest authority = new("CN=DriftWatch test authority", authorityKey, HashAlgorithmName.SHA256);
        authority.CertificateExtensions.Add(new X509BasicConstraintsExtension(certificateAuthority: true, false, 0, critical: true));
        authority.CertificateExtensions.Add(new X509KeyUsageExtension(X509KeyUsageFlags.KeyCertSign, critical: true));
        authority.CertificateExtensions.Add(new X509SubjectKeyIdentifierExtension(authority.PublicKey, critical: false));
        using X509Certificate2 signer = authority.CreateSelfSigned(DateTimeOffset.UtcNow.AddDays(-1), DateTimeOffset.UtcNow.AddDays(7));

        using ECDsa key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        CertificateRequest server = new("CN=localhost", key, HashAlgorithmName.SHA256);
        SubjectAlternativeNameBuilder names = new();
        names.AddIpAddress(IPAddress.Loopback);
        names.AddDnsName("localhost");
        server.CertificateExtensions.Add(names.Build());
        server.CertificateExtensions.Add(new X509EnhancedKeyUsageExtension([new Oid("1.3.6.1.5.5.7.3.1")], critical: false));
        server.CertificateExtensions.Add(X509AuthorityKeyIdentifierExtension.CreateFromCertificate(signer, includeKeyIdentifier: true, includeIssuerAndSerial: false));
        using X509Certificate2 certificate = server.Create(signer, DateTimeOffset.UtcNow.AddDays(-1), DateTimeOffset.UtcNow.AddDays(6), RandomNumberGenerator.GetBytes(8));

        AuthorityFile = Write("authority.pem", signer.ExportCertificatePem());
        CertificateFile = Write("server.pem", certificate.ExportCertificatePem());
        KeyFile = Write("server.key", key.ExportPkcs8PrivateKeyPem());
    }

    public string AuthorityFile { get; }

    public string CertificateFile { get; }

    public string KeyFile { get; }

    public void Dispose() => _folder.Delete(recursive: true);

    private string Write(string name, string pem)
    {
        string path = Path.Combine(_folder.FullName, name);
        File.WriteAllText(path, pem + "\n");
        return path;
    }
}
