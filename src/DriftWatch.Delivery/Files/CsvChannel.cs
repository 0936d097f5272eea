using System.Globalization;
using System.Text;
using DriftWatch.Delivery.Documents;
using DriftWatch.Plant.Jobs;

namespace DriftWatch.Delivery.Files;

/// <summary>
/// A CSV file (RFC 4180) as a maintenance queue: a row a notice, a file a year, <c>jobs-2025.csv</c>. A notice that
/// comes again is found by its key and not written twice; a row that a crash has cut off is written anew. A row is one
/// line: line breaks in texts become bars.
/// </summary>
public sealed class CsvChannel : IJobChannel, IDisposable
{
    private const string Separator = " | ";

    private static readonly string[] Columns =
    [
        "notice", "event", "time", "job", "state", "vessel", "place", "cause", "reason", "raised", "due", "closedBecause",
        "steps", "chargingTargets", "nitrogenKg", "cautions",
    ];

    private readonly string _folder;
    private readonly SemaphoreSlim _turn = new(1, 1);

    /// <summary>A queue in a folder, which is made when it is missing.</summary>
    public CsvChannel(string name, string folder)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(name);
        ArgumentException.ThrowIfNullOrWhiteSpace(folder);
        Name = name;
        _folder = Path.GetFullPath(folder);
    }

    /// <inheritdoc/>
    public string Name { get; }

    /// <summary>The file that a notice is written to.</summary>
    public string PathOf(JobNotice notice) => Path.Combine(
        _folder, notice.IsTest ? "channel-test.csv" : string.Create(CultureInfo.InvariantCulture, $"jobs-{notice.At.UtcDateTime.Year:D4}.csv"));

    /// <inheritdoc/>
    public async Task DeliverAsync(JobNotice notice, CancellationToken cancellationToken)
    {
        await _turn.WaitAsync(cancellationToken).ConfigureAwait(false);
        try
        {
            _ = Directory.CreateDirectory(_folder);
            bool made = await AppendAsync(PathOf(notice), JobDocument.From(notice), cancellationToken).ConfigureAwait(false);
            if (made)
            {
                FolderFlush.Flush(_folder);
            }
        }
        finally
        {
            _ = _turn.Release();
        }
    }

    /// <inheritdoc/>
    public void Dispose() => _turn.Dispose();

    /// <summary>Others may read meanwhile; another writer is not let in. Gives whether the file is new.</summary>
    private static async Task<bool> AppendAsync(string path, JobDocument document, CancellationToken cancellationToken)
    {
        FileStream file = new(path, FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.Read, bufferSize: 4096, useAsync: true);
        await using (file.ConfigureAwait(false))
        {
            // Read whole each time: jobs are few, and others may have moved or cut the file.
            byte[] held = new byte[file.Length];
            await file.ReadExactlyAsync(held, cancellationToken).ConfigureAwait(false);
            int whole = held.AsSpan().LastIndexOf((byte)'\n') + 1;
            string key = Field(document.Id) + ",";
            bool there = Encoding.UTF8.GetString(held.AsSpan(0, whole)).Split('\n').Any(line => line.StartsWith(key, StringComparison.Ordinal));
            if (there)
            {
                return false;
            }

            string rows = (whole == 0 ? string.Join(',', Columns) + "\r\n" : "") + Row(document);
            file.SetLength(whole);
            file.Position = whole;
            await file.WriteAsync(Encoding.UTF8.GetBytes(rows), cancellationToken).ConfigureAwait(false);
            await file.FlushAsync(cancellationToken).ConfigureAwait(false);
            file.Flush(flushToDisk: true);
            return whole == 0;
        }
    }

    private static string Row(JobDocument document)
    {
        JobContent job = document.Job;
        string[] fields =
        [
            document.Id, document.Type, Instant(document.Time), job.Key, DocumentJson.NameOf(job.State), job.Vessel.Id, job.Vessel.Place,
            DocumentJson.NameOf(job.Cause), job.Reason, Instant(job.Raised), Instant(job.Due), job.ClosedBecause ?? "",
            string.Join(Separator, job.Steps),
            string.Join(Separator, job.ChargingTargets.Select(row =>
                string.Create(CultureInfo.InvariantCulture, $"gas {row.GasTemperatureCelsius} °C: {row.TargetBarGauge} bar gauge"))),
            job.NitrogenKg?.ToString(CultureInfo.InvariantCulture) ?? "",
            string.Join(Separator, job.Cautions),
        ];
        return string.Join(',', fields.Select(Field)) + "\r\n";
    }

    /// <summary>Always quoted. A text that a spreadsheet would take for a formula gets an apostrophe before it.</summary>
    private static string Field(string text)
    {
        string line = text.ReplaceLineEndings(Separator).Replace("\"", "\"\"", StringComparison.Ordinal);
        return line.Length > 0 && "=+-@\t".Contains(line[0], StringComparison.Ordinal) ? $"\"'{line}\"" : $"\"{line}\"";
    }

    private static string Instant(DateTimeOffset instant) => instant.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture);
}
