using DriftWatch.Host.Health;
using DriftWatch.TestPeers;

namespace DriftWatch.Host.Tests;

/// <summary>A certificate that runs out is told before it does; the certificates of these tests are good for six days.</summary>
public sealed class OwnCertificateTests : IDisposable
{
    private readonly TestCertificates _files = new();
    private readonly TemporaryFolder _folder = new();

    public void Dispose()
    {
        _files.Dispose();
        _folder.Dispose();
    }

    [Theory]
    [InlineData(-9, null, HealthState.Good)]
    [InlineData(0, "ends at", HealthState.Degraded)]
    [InlineData(7, "has ended at", HealthState.Failed)]
    public void It_is_told_in_the_last_two_weeks_and_after(int days, string? told, HealthState state)
    {
        OwnCertificate own = new(ServicePart.Pages, "web.", _files.CertificateFile, _files.KeyFile);
        Complaint? complaint = own.Look(DateTimeOffset.UtcNow.AddDays(days));
        Assert.Equal(told is null, complaint is null);
        Assert.Equal(state, complaint?.State ?? HealthState.Good);
        Assert.True(told is null || complaint!.What.Contains(told, StringComparison.Ordinal));
    }

    [Fact]
    public void One_that_cannot_be_read_is_told_with_its_field()
    {
        OwnCertificate own = new(ServicePart.Acquisition, "broker.", _files.CertificateFile, _folder.File("gone"));
        Assert.StartsWith("broker.keyFile: file '", own.Look(DateTimeOffset.UtcNow)!.What, StringComparison.Ordinal);
    }
}
