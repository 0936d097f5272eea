using System.Globalization;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using DriftWatch.Host.Settings;

namespace DriftWatch.Host.Health;

/// <summary>A certificate that the service shows to others, as its files are now.</summary>
/// <param name="Part">The part that shows it.</param>
/// <param name="At">What the fields <c>certificateFile</c> and <c>keyFile</c> of the settings follow.</param>
/// <param name="File">PEM file of the certificate.</param>
/// <param name="KeyFile">PEM file of its key, where the certificate file does not hold it.</param>
internal sealed record OwnCertificate(string Part, string At, string File, string? KeyFile)
{
    /// <summary>Long enough to have one renewed by hand.</summary>
    private static readonly TimeSpan Ahead = TimeSpan.FromDays(14);

    /// <summary>The certificates of these settings.</summary>
    public static IReadOnlyList<OwnCertificate> Of(ServiceSettings settings) =>
    [
        .. settings.Web is { CertificateFile: { } pages } web ? (OwnCertificate[])[new(ServicePart.Pages, "web.", pages, web.KeyFile)] : [],
        .. settings.Broker is { CertificateFile: { } broker } door ? (OwnCertificate[])[new(ServicePart.Acquisition, "broker.", broker, door.KeyFile)] : [],
    ];

    /// <summary>What is wrong with it; null when it will do for the next weeks.</summary>
    public Complaint? Look(DateTimeOffset now)
    {
        if (NamedFile.CertificateFaults(At, File, KeyFile).FirstOrDefault() is { } fault)
        {
            return new Complaint(Matter.Certificate, HealthState.Degraded, fault, "The one read before serves on. Put certificate and key in place, readable to the service's user.");
        }

        DateTimeOffset end;
        try
        {
            using X509Certificate2 certificate = X509CertificateLoader.LoadCertificateFromFile(File);
            end = certificate.NotAfter.ToUniversalTime();
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException or CryptographicException)
        {
            // Exchanged between the two looks; the next one tells.
            return null;
        }

        return end - now > Ahead
            ? null
            : new Complaint(
                Matter.Certificate, end > now ? HealthState.Degraded : HealthState.Failed,
                string.Create(CultureInfo.InvariantCulture, $"The certificate {At}certificateFile '{File}' {(end > now ? "ends" : "has ended")} at {end:yyyy-MM-dd'T'HH:mm:ss'Z'}."),
                "Renew it; the new one is shown from the next connection on, without a restart.");
    }
}
