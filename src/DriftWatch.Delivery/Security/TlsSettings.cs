using System.Net.Security;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;

namespace DriftWatch.Delivery.Security;

/// <summary>TLS towards the far side of a channel. Its certificate is always checked, by name and by chain.</summary>
public sealed record TlsSettings
{
    /// <summary>PEM file of the authorities to trust; none: those of the system.</summary>
    public string? AuthorityFile { get; init; }

    /// <summary>PEM file of this side's certificate; none by default.</summary>
    public string? ClientCertificateFile { get; init; }

    /// <summary>PEM file of its key, where the certificate file does not hold it.</summary>
    public string? ClientKeyFile { get; init; }

    /// <summary>Name that the far side's certificate must bear; none: the host name.</summary>
    public string? ServerName { get; init; }

    /// <summary>All that is wrong; empty when the files can be used.</summary>
    public IReadOnlyList<string> Faults(string at)
    {
        FaultList faults = new(at);
        faults.Check(ClientKeyFile is null || ClientCertificateFile is not null, "clientCertificateFile", $"is missing: a key needs its certificate.");
        Try("authorityFile", AuthorityFile, () => _ = Authorities());
        Try("clientCertificateFile", ClientCertificateFile, () => ClientCertificate()?.Dispose());
        return faults.All;

        void Try(string field, string? file, Action read)
        {
            try
            {
                read();
            }
            catch (Exception failure) when (failure is IOException or UnauthorizedAccessException or CryptographicException)
            {
                faults.Check(false, field, $"'{file}' cannot be used: {failure.Message}");
            }
        }
    }

    /// <summary>This side's certificate with its key; null when none is named.</summary>
    internal X509Certificate2? ClientCertificate()
    {
        if (ClientCertificateFile is null)
        {
            return null;
        }

        using X509Certificate2 fromPem = X509Certificate2.CreateFromPemFile(ClientCertificateFile, ClientKeyFile);

        // Windows' TLS takes no key that lives in memory only; the detour over PKCS#12 gives it one it takes.
        return X509CertificateLoader.LoadPkcs12(fromPem.Export(X509ContentType.Pkcs12), null);
    }

    /// <summary>Whether a far side's certificate is to be trusted, after the name check of TLS itself.</summary>
    internal bool Trusts(X509Certificate? certificate, X509Chain? presented, SslPolicyErrors errors)
    {
        if (certificate is null || Authorities() is not { } authorities)
        {
            return certificate is not null && errors == SslPolicyErrors.None;
        }

        if ((errors & ~SslPolicyErrors.RemoteCertificateChainErrors) != SslPolicyErrors.None)
        {
            return false;
        }

        // A plant's own authority seldom publishes revocation lists.
        using X509Chain chain = new();
        chain.ChainPolicy.TrustMode = X509ChainTrustMode.CustomRootTrust;
        chain.ChainPolicy.RevocationMode = X509RevocationMode.NoCheck;
        chain.ChainPolicy.CustomTrustStore.AddRange(authorities);
        foreach (X509ChainElement between in presented?.ChainElements ?? Enumerable.Empty<X509ChainElement>())
        {
            _ = chain.ChainPolicy.ExtraStore.Add(between.Certificate);
        }

        using X509Certificate2 leaf = X509CertificateLoader.LoadCertificate(certificate.GetRawCertData());
        return chain.Build(leaf);
    }

    private X509Certificate2Collection? Authorities()
    {
        if (AuthorityFile is null)
        {
            return null;
        }

        X509Certificate2Collection authorities = [];
        authorities.ImportFromPemFile(AuthorityFile);
        return authorities.Count > 0 ? authorities : throw new CryptographicException("it holds no certificate.");
    }
}
