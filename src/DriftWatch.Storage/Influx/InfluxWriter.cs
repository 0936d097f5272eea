using DriftWatch.Gas.Nitrogen;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Normalisation;
using DriftWatch.Trends.Readings;
using InfluxDB.Client;
using InfluxDB.Client.Core.Exceptions;
using InfluxDB.Client.Writes;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Storage.Influx;

/// <summary>
/// Takes what is spooled to InfluxDB 2: raw readings, normalised values and precharge windows, at least once and in the
/// order of commits; a point written twice is one point. One write is under way at a time, so what is held in memory is
/// one batch; while the server is away the spool grows on disk, by 14 to 30 bytes a reading. A spool that fills the disk
/// ends acknowledgement to senders as any full store does, and nothing is lost.
/// </summary>
public sealed class InfluxWriter
{
    private readonly InfluxOptions _options;
    private readonly PlantStore _store;
    private readonly LiveRegister _register;
    private readonly TimeProvider _clock;
    private readonly ILogger<InfluxWriter> _logger;
    private readonly Dictionary<double, FastIsochoricCorrection> _corrections = [];
    private volatile InfluxStatus _status = new(0, 0, null);

    /// <summary>Sets the writer up; nothing happens before <see cref="RunAsync"/>.</summary>
    /// <exception cref="ArgumentException">The settings have faults; all are named.</exception>
    public InfluxWriter(InfluxOptions options, PlantStore store, LiveRegister register, TimeProvider clock, ILogger<InfluxWriter> logger)
    {
        IReadOnlyList<string> faults = options.Faults();
        if (faults.Count > 0)
        {
            throw new ArgumentException(string.Join(Environment.NewLine, faults), nameof(options));
        }

        _options = options;
        _store = store;
        _register = register;
        _clock = clock;
        _logger = logger;
    }

    /// <summary>How it stands now.</summary>
    public InfluxStatus Status => _status;

    /// <summary>Writes until cancelled; faults of server and store never end it. What still waits is written after the next start.</summary>
    public async Task RunAsync(CancellationToken stop)
    {
        using InfluxDBClient client = InfluxConnection.Open(_options);
        TimeSpan wait = _options.ShortestRetry;
        while (!stop.IsCancellationRequested)
        {
            TimeSpan next = TimeSpan.Zero;
            try
            {
                next = await WriteOldestAsync(client.GetWriteApiAsync(), stop) ? TimeSpan.Zero : _options.Pause;
                if (_status.Fault is not null)
                {
                    _logger.WriteResumed();
                    _status = _status with { Fault = null };
                }

                wait = _options.ShortestRetry;
            }
            catch (Exception exception) when (!stop.IsCancellationRequested && exception is not OutOfMemoryException)
            {
                _status = _status with { Fault = exception.Message };
                next = wait;
                Tell(exception, wait);
                wait = wait * 2 < _options.LongestRetry ? wait * 2 : _options.LongestRetry;
            }
            catch (Exception) when (stop.IsCancellationRequested)
            {
                return;
            }

            if (next > TimeSpan.Zero)
            {
                try
                {
                    await Task.Delay(next, _clock, stop);
                }
                catch (OperationCanceledException)
                {
                    return;
                }
            }
        }
    }

    /// <summary>Writes the oldest entries of the spool and takes them out.</summary>
    /// <returns>Whether there were any.</returns>
    private async Task<bool> WriteOldestAsync(WriteApiAsync api, CancellationToken stop)
    {
        SpoolBatch batch = _store.Spooled(_options.MostPoints);
        if (batch.Sequence == 0)
        {
            return false;
        }

        foreach (PointData[] points in Points(batch).Chunk(_options.MostPoints))
        {
            await WriteAsync(api, points, stop);
        }

        _store.RemoveSpooled(batch.Sequence);
        return true;
    }

    /// <summary>Writes points; when the server refuses them for good, finds the ones that it means by halving.</summary>
    private async Task WriteAsync(WriteApiAsync api, ArraySegment<PointData> points, CancellationToken stop)
    {
        try
        {
            await api.WritePointsAsync([.. points], _options.Bucket, _options.Organisation, stop);
            _status = _status with { Written = _status.Written + points.Count };
        }
        catch (HttpException refusal) when (refusal.Status is 400 or 413 or 422)
        {
            if (points.Count == 1)
            {
                _logger.PointRefused(refusal.Message, points[0].ToLineProtocol());
                _status = _status with { Refused = _status.Refused + 1 };
                return;
            }

            int half = points.Count / 2;
            await WriteAsync(api, points[..half], stop);
            await WriteAsync(api, points[half..], stop);
        }
    }

    private IEnumerable<PointData> Points(SpoolBatch batch)
    {
        foreach (VesselReading reading in batch.Readings)
        {
            yield return InfluxPoints.Of(reading);
        }

        foreach (IGrouping<string, VesselReading> ofVessel in batch.Readings.GroupBy(reading => reading.VesselId, StringComparer.Ordinal))
        {
            if (_register.Current.Find(ofVessel.Key) is { } vessel)
            {
                foreach (PointData point in Normalised(vessel, ofVessel))
                {
                    yield return point;
                }
            }
        }

        // A window that changed several times goes as it is last: points of one time in one write are in no order.
        foreach (IGrouping<(string, DateTimeOffset), SpooledWindow> window in batch.Windows.GroupBy(window => (window.VesselId, window.Window.Start)))
        {
            yield return InfluxPoints.Of(window.Last());
        }
    }

    /// <summary>
    /// Normalised values that new readings bring or change, from what the store holds around them: a temperature that comes
    /// late changes the pressures after it.
    /// </summary>
    private IEnumerable<PointData> Normalised(Vessel vessel, IEnumerable<VesselReading> arrived)
    {
        double referenceK = vessel.Specification.ReferenceTemperature.Kelvins;
        if (!_corrections.TryGetValue(referenceK, out FastIsochoricCorrection? correction))
        {
            _corrections.Add(referenceK, correction = new FastIsochoricCorrection(referenceK));
        }

        List<Reading> ordered = [.. arrived.Select(reading => reading.Reading).Where(reading => reading.Signal is Signal.GasPressure or Signal.GasTemperature).Order()];
        for (int first = 0; first < ordered.Count;)
        {
            // Readings not far from each other are one stretch; a long gap, as a late packet leaves it, parts two.
            int next = first + 1;
            while (next < ordered.Count && ordered[next].Instant - ordered[next - 1].Instant <= 2 * SignalHold.Analog)
            {
                next++;
            }

            DateTimeOffset from = ordered[first].Instant;
            bool lateTemperature = ordered.GetRange(first, next - first).Exists(reading => reading.Signal == Signal.GasTemperature);
            DateTimeOffset to = ordered[next - 1].Instant + (lateTemperature ? SignalHold.Analog : TimeSpan.Zero);
            IEnumerable<Reading> around = _store
                .ReadingsAfter(vessel.Id, (from - SignalHold.Analog).AddTicks(-1))
                .TakeWhile(reading => reading.Instant <= to)
                .Where(reading => reading.Signal == Signal.GasTemperature || reading.Instant >= from);
            foreach (PointData point in InfluxPoints.Normalised(vessel, correction, around))
            {
                yield return point;
            }

            first = next;
        }
    }

    private void Tell(Exception exception, TimeSpan wait)
    {
        if (exception is StoreUnavailableException)
        {
            _logger.SpoolWaits(exception.Message, wait.TotalSeconds);
            return;
        }

        long waiting;
        try
        {
            waiting = _store.SpooledPoints();
        }
        catch (StoreUnavailableException)
        {
            waiting = -1;
        }

        _logger.WriteFailed(exception.Message, waiting, wait.TotalSeconds);
    }
}
