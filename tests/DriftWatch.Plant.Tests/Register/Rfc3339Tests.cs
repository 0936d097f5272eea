using CsCheck;
using DriftWatch.Plant.Register;

namespace DriftWatch.Plant.Tests.Register;

public class Rfc3339Tests
{
    /// <summary>The examples of RFC 3339 section 5.8; the UTC forms stand in its text, the last by hand.</summary>
    [Theory]
    [InlineData("1985-04-12T23:20:50.52Z", "1985-04-12T23:20:50.5200000Z")]
    [InlineData("1996-12-19T16:39:57-08:00", "1996-12-20T00:39:57.0000000Z")]
    [InlineData("1990-12-31T23:59:60Z", "1991-01-01T00:00:00.0000000Z")]
    [InlineData("1990-12-31T15:59:60-08:00", "1991-01-01T00:00:00.0000000Z")]
    [InlineData("1937-01-01T12:00:27.87+00:20", "1937-01-01T11:40:27.8700000Z")]
    [InlineData("2025-06-03 07:30:00.123456789z", "2025-06-03T07:30:00.1234560Z")]
    public void Reads(string text, string utc)
    {
        Assert.True(Rfc3339.TryParse(text, out DateTimeOffset instant));
        Assert.Equal(utc, instant.UtcDateTime.ToString("O", System.Globalization.CultureInfo.InvariantCulture));
        Assert.Equal(TimeSpan.Zero, instant.Offset);
    }

    [Theory]
    [InlineData("")]
    [InlineData("2025-06-03")]
    [InlineData("2025-06-03T07:30:00")]
    [InlineData("2025-06-03T07:30:00.Z")]
    [InlineData("2025-06-03T07:30Z")]
    [InlineData("2025-02-29T07:30:00Z")]
    [InlineData("2025-13-01T07:30:00Z")]
    [InlineData("2025-06-03T24:00:00Z")]
    [InlineData("2025-06-03T07:30:61Z")]
    [InlineData("2025-06-03T07:30:00+0200")]
    [InlineData("2025-06-03T07:30:00Z ")]
    [InlineData("0000-06-03T07:30:00Z")]
    [InlineData("0001-01-01T00:00:00+00:01")]
    [InlineData("9999-12-31T23:59:59-00:01")]
    [InlineData("-025-06-03T07:30:00Z")]
    public void Refuses(string text) => Assert.False(Rfc3339.TryParse(text, out _));

    [Fact]
    public void Agrees_with_the_framework_and_never_throws()
    {
        Gen.DateTimeOffset.Sample(instant =>
        {
            string text = instant.ToString("yyyy-MM-dd'T'HH:mm:ss.ffffffzzz", System.Globalization.CultureInfo.InvariantCulture);
            return !Rfc3339.TryParse(text, out DateTimeOffset read)
                ? instant.UtcDateTime == default
                : read.Ticks == instant.UtcTicks / TimeSpan.TicksPerMicrosecond * TimeSpan.TicksPerMicrosecond;
        });
        Gen.String.Sample(text => Rfc3339.TryParse(text, out _) || true);
    }
}
