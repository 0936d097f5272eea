using System.Globalization;
using DriftWatch.Trends.Readings;
using InfluxDB.Client;
using InfluxDB.Client.Core.Flux.Domain;

namespace DriftWatch.Storage.Influx;

/// <summary>Raw readings read back from InfluxDB 2 by Flux.</summary>
public sealed class InfluxHistory : IReadingHistory, IDisposable
{
    /// <summary>Instants beyond cannot be written in Flux, whose times are nanoseconds in 64 bits; no reading lies there.</summary>
    private static readonly DateTimeOffset Earliest = DateTimeOffset.UnixEpoch;

    private static readonly DateTimeOffset Latest = new(2200, 1, 1, 0, 0, 0, TimeSpan.Zero);

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
    /// <remarks>Whatever the client throws comes through: no connection, a refusal, an answer that is none.</remarks>
    public async Task<ReadingExcerpt> FirstAsync(string vesselId, DateTimeOffset from, DateTimeOffset to, int limit, CancellationToken stop)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(to, from);
        ArgumentOutOfRangeException.ThrowIfLessThan(limit, 1);
        if (to < Earliest || from >= Latest)
        {
            return new ReadingExcerpt([]);
        }

        List<FluxTable> tables = await _client.GetQueryApi().QueryAsync(
            Flux(_options.Bucket, vesselId, from > Earliest ? from : Earliest, to < Latest ? to : Latest, limit), _options.Organisation, stop);
        return new ReadingExcerpt([.. tables.SelectMany(table => table.Records).Select(Reading).Order().Take(limit)]);
    }

    /// <inheritdoc/>
    public void Dispose() => _client.Dispose();

    private static Reading Reading(FluxRecord record) => new(
        Enum.Parse<Signal>((string)record.GetValueByKey(InfluxPoints.SignalTag)),
        new DateTimeOffset(record.GetTimeInDateTime()!.Value.ToUniversalTime()),
        Convert.ToDouble(record.GetValue(), CultureInfo.InvariantCulture));

    /// <summary>All series of the vessel as one table in order of time; the end of a range is not part of it.</summary>
    private static string Flux(string bucket, string vesselId, DateTimeOffset from, DateTimeOffset to, int limit) =>
        string.Create(CultureInfo.InvariantCulture, $"""
            from(bucket: {Text(bucket)})
              |> range(start: {Instant(from)}, stop: {Instant(to.AddTicks(1))})
              |> filter(fn: (r) => r._measurement == {Text(InfluxPoints.ReadingMeasurement)} and r._field == {Text(InfluxPoints.ValueField)})
              |> filter(fn: (r) => r.{InfluxPoints.VesselTag} == {Text(vesselId)})
              |> keep(columns: ["_time", "_value", "{InfluxPoints.SignalTag}"])
              |> group()
              |> sort(columns: ["_time", "{InfluxPoints.SignalTag}"])
              |> limit(n: {limit})
            """);

    /// <summary>A Flux text: a name with a quote in it stays a name.</summary>
    private static string Text(string text) => "\"" + text
        .Replace("\\", "\\\\", StringComparison.Ordinal)
        .Replace("\"", "\\\"", StringComparison.Ordinal)
        .Replace("${", "\\${", StringComparison.Ordinal) + "\"";

    private static string Instant(DateTimeOffset instant) => instant.UtcDateTime.ToString("O", CultureInfo.InvariantCulture);
}
