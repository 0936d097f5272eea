using System.Globalization;
using DriftWatch.Trends.Readings;
using InfluxDB.Client;
using InfluxDB.Client.Core.Flux.Domain;

namespace DriftWatch.Storage.Influx;

/// <summary>Raw readings read back from InfluxDB 2 by Flux.</summary>
public sealed class InfluxHistory : IReadingHistory, IDisposable
{
    private readonly InfluxOptions _options;
    private readonly InfluxDBClient _client;

    /// <summary>Sets it up; nothing is asked before a read.</summary>
    /// <exception cref="ArgumentException">The settings have faults; all are named.</exception>
    public InfluxHistory(InfluxOptions options)
    {
        IReadOnlyList<string> faults = options.Faults();
        if (faults.Count > 0)
        {
            throw new ArgumentException(string.Join(Environment.NewLine, faults), nameof(options));
        }

        _options = options;
        _client = InfluxConnection.Open(options);
    }

    /// <inheritdoc/>
    public async Task<IReadOnlyList<Reading>> ReadAsync(
        string vesselId, Signal signal, DateTimeOffset from, DateTimeOffset to, TimeSpan? every, CancellationToken stop)
    {
        HistorySpan.Check(from, to, every);
        List<FluxTable> tables = await _client.GetQueryApi().QueryAsync(
            Flux(_options.Bucket, vesselId, signal, from, to, every), _options.Organisation, stop);
        return
        [
            .. tables
                .SelectMany(table => table.Records)
                .Select(record => new Reading(
                    signal,
                    new DateTimeOffset(record.GetTimeInDateTime()!.Value.ToUniversalTime()),
                    Convert.ToDouble(record.GetValue(), CultureInfo.InvariantCulture)))
                .Order(),
        ];
    }

    /// <inheritdoc/>
    public void Dispose() => _client.Dispose();

    private static string Flux(string bucket, string vesselId, Signal signal, DateTimeOffset from, DateTimeOffset to, TimeSpan? every)
    {
        string mean = every is { } interval
            ? string.Create(CultureInfo.InvariantCulture, $"\n  |> aggregateWindow(every: {(long)interval.TotalSeconds}s, fn: mean, createEmpty: false)")
            : "";
        return $"""
            from(bucket: {Text(bucket)})
              |> range(start: {Instant(from)}, stop: {Instant(to)})
              |> filter(fn: (r) => r._measurement == {Text(InfluxPoints.ReadingMeasurement)} and r._field == {Text(InfluxPoints.ValueField)})
              |> filter(fn: (r) => r.{InfluxPoints.VesselTag} == {Text(vesselId)} and r.{InfluxPoints.SignalTag} == {Text(signal.ToString())}){mean}
              |> keep(columns: ["_time", "_value"])
            """;
    }

    /// <summary>A Flux text: a name with a quote in it stays a name.</summary>
    private static string Text(string text) => "\"" + text
        .Replace("\\", "\\\\", StringComparison.Ordinal)
        .Replace("\"", "\\\"", StringComparison.Ordinal)
        .Replace("${", "\\${", StringComparison.Ordinal) + "\"";

    private static string Instant(DateTimeOffset instant) => instant.UtcDateTime.ToString("O", CultureInfo.InvariantCulture);
}
