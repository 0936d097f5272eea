using System.Text.RegularExpressions;
using DriftWatch.Delivery.Files;
using DriftWatch.Delivery.Tests.Support;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Safety;

namespace DriftWatch.Delivery.Tests.Files;

/// <summary>Read as the text that RFC 5545 describes, not by the library that wrote it.</summary>
public sealed class CalendarChannelTests : IDisposable
{
    private readonly TempFolder _folder = new();

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task A_job_is_one_to_do_with_its_due_date_and_is_completed_when_it_is_closed()
    {
        CalendarChannel channel = new("calendar", _folder.Path);
        await channel.DeliverAsync(Given.Opened(), Ended);
        Dictionary<string, string> opened = Read(Assert.Single(Directory.GetFiles(_folder.Path)));
        Assert.Equal("20250308T060000Z", opened["DUE"]);
        Assert.Equal("20250301T060000Z", opened["DTSTAMP"]);
        Assert.Equal("NEEDS-ACTION", opened["STATUS"]);
        Assert.Equal("P3-ACC-2: precharge below its lower limit\\, due 2025-03-08", opened["SUMMARY"]);
        Assert.Equal("Hall 2\\, press 3", opened["LOCATION"]);
        Assert.All(SafetyLines.All, line => Assert.Contains(line.Replace(",", "\\,", StringComparison.Ordinal).Replace(";", "\\;", StringComparison.Ordinal), opened["DESCRIPTION"], StringComparison.Ordinal));

        await channel.DeliverAsync(Given.Closed(), Ended);
        Dictionary<string, string> closed = Read(Assert.Single(Directory.GetFiles(_folder.Path)));
        Assert.Equal(opened["UID"], closed["UID"]);
        Assert.Equal("COMPLETED", closed["STATUS"]);
        Assert.Equal("20250303T060000Z", closed["COMPLETED"]);
        Assert.True(int.Parse(closed["SEQUENCE"], System.Globalization.CultureInfo.InvariantCulture) > int.Parse(opened["SEQUENCE"], System.Globalization.CultureInfo.InvariantCulture));
    }

    /// <summary>Half a bar in a diaphragm vessel of 0.3 litres is less than a gram: not nothing.</summary>
    [Fact]
    public async Task Little_nitrogen_is_told_to_its_digits()
    {
        CalendarChannel channel = new("calendar", _folder.Path);
        await channel.DeliverAsync(Given.Opened(Given.Job() with { NitrogenKg = 0.00017, NitrogenStandardLitres = 0.136 }), Ended);
        Assert.Contains("0.00017 kg\\, 0.136 litres at", Read(Assert.Single(Directory.GetFiles(_folder.Path)))["DESCRIPTION"], StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(JobEnd.Superseded)]
    [InlineData(JobEnd.Declined)]
    [InlineData(JobEnd.Withdrawn)]
    public async Task A_job_that_nobody_did_is_cancelled(JobEnd end)
    {
        CalendarChannel channel = new("calendar", _folder.Path);
        await channel.DeliverAsync(Given.Closed() with { End = end }, Ended);
        Dictionary<string, string> closed = Read(Assert.Single(Directory.GetFiles(_folder.Path)));
        Assert.Equal("CANCELLED", closed["STATUS"]);
        Assert.DoesNotContain("COMPLETED", closed.Keys);
        Assert.DoesNotContain("PERCENT-COMPLETE", closed.Keys);
    }

    [Fact]
    public async Task The_same_notice_gives_the_same_bytes()
    {
        CalendarChannel channel = new("calendar", _folder.Path);
        await channel.DeliverAsync(Given.Opened(), Ended);
        byte[] first = await File.ReadAllBytesAsync(channel.PathOf(Given.Opened()), Ended);
        await channel.DeliverAsync(Given.Opened(), Ended);
        Assert.Equal(first, await File.ReadAllBytesAsync(channel.PathOf(Given.Opened()), Ended));
    }

    /// <summary>RFC 5545 section 3.1: lines end in CRLF, are folded at 75 octets, and hold name, parameters and value.</summary>
    private static Dictionary<string, string> Read(string file)
    {
        string text = File.ReadAllText(file);
        Assert.All(text.Split("\r\n"), line => Assert.InRange(System.Text.Encoding.UTF8.GetByteCount(line), 0, 75));
        string[] lines = Regex.Replace(text, "\r\n[ \t]", "").Split("\r\n", StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal(["BEGIN:VCALENDAR", "BEGIN:VTODO", "END:VTODO", "END:VCALENDAR"], lines.Where(line => line.StartsWith("BEGIN:", StringComparison.Ordinal) || line.StartsWith("END:", StringComparison.Ordinal)));
        Assert.Contains("VERSION:2.0", lines);
        return lines.Where(line => !line.StartsWith("BEGIN", StringComparison.Ordinal) && !line.StartsWith("END", StringComparison.Ordinal))
            .ToDictionary(line => line[..line.IndexOfAny([':', ';'])], line => line[(line.IndexOf(':') + 1)..]);
    }
}
