using DriftWatch.Acquisition.Files;
using DriftWatch.Host.Output;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Following;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Host.Assessing;

/// <summary>The assessment of logger files in one go, by the same code that follows a vessel live.</summary>
/// <param name="AsOf">The moment it is made for, UTC.</param>
/// <param name="Results">Vessels that have readings, in the order of the register.</param>
/// <param name="Notices">What the maintenance queue is to be told, in order for each vessel.</param>
/// <param name="Failures">Vessels that could not be assessed, with the reason.</param>
internal sealed record FileAssessment(
    DateTimeOffset AsOf, IReadOnlyList<VesselResult> Results, IReadOnlyList<JobNotice> Notices, IReadOnlyList<(string VesselId, string Why)> Failures)
{
    public static FileAssessment Run(
        VesselRegister register, IReadOnlyList<string> files, DateTimeOffset? asOf, Action<RejectedRow> reject,
        Action<string, long> progress, CancellationToken stop)
    {
        Dictionary<string, List<Reading>> readings = Read(register, files, reject, progress, stop);
        if (readings.Count == 0)
        {
            return new FileAssessment(asOf ?? DateTimeOffset.MinValue, [], [], []);
        }

        DateTimeOffset moment = asOf ?? readings.Values.Max(list => list[^1].Instant);
        Vessel[] vessels = [.. register.Vessels.Where(vessel => readings.ContainsKey(vessel.Id))];
        var followed = new (VesselResult Result, IReadOnlyList<JobNotice> Notices)?[vessels.Length];
        string?[] failures = new string?[vessels.Length];
        Parallel.For(0, vessels.Length, new ParallelOptions { CancellationToken = stop }, i =>
        {
            try
            {
                followed[i] = Follow(vessels[i], readings[vessels[i].Id], moment);
            }
            catch (Exception exception) when (exception is not (OperationCanceledException or OutOfMemoryException))
            {
                // One vessel holds back no other.
                failures[i] = exception.Message;
            }
        });
        return new FileAssessment(
            moment,
            [.. followed.OfType<(VesselResult Result, IReadOnlyList<JobNotice>)>().Select(vessel => vessel.Result)],
            [.. followed.OfType<(VesselResult, IReadOnlyList<JobNotice> Notices)>().SelectMany(vessel => vessel.Notices)],
            [.. vessels.Zip(failures).Where(vessel => vessel.Second is not null).Select(vessel => (vessel.First.Id, vessel.Second!))]);
    }

    private static (VesselResult Result, IReadOnlyList<JobNotice> Notices) Follow(Vessel vessel, List<Reading> readings, DateTimeOffset moment)
    {
        var follower = new VesselFollower(vessel, FollowerState.Start, [], AlarmHandling.Usual);
        foreach (Reading reading in readings)
        {
            if (reading.Instant <= moment)
            {
                follower.Accept(reading);
            }
        }

        follower.AdvanceTo(moment);
        var windows = new SortedDictionary<DateTimeOffset, PrechargeWindow>();
        foreach (PrechargeWindow window in follower.TakeChangedWindows())
        {
            windows[window.Start] = window;
        }

        return (new VesselResult(vessel, [.. windows.Values], follower.Assess(moment)), follower.TakeNotices());
    }

    /// <summary>All readings of each vessel in order, each (signal, instant) once: the first one in the files counts, as in the store.</summary>
    private static Dictionary<string, List<Reading>> Read(
        VesselRegister register, IReadOnlyList<string> files, Action<RejectedRow> reject, Action<string, long> progress, CancellationToken stop)
    {
        var reader = new LoggerFileReader(register);
        var perFile = new Dictionary<string, List<Reading>>[files.Count];
        Parallel.For(0, files.Count, new ParallelOptions { CancellationToken = stop }, i =>
        {
            var own = new Dictionary<string, List<Reading>>(StringComparer.Ordinal);
            foreach (VesselReading reading in reader.Read(files[i], DateTimeOffset.UtcNow, reject, new Progress(bytes => progress(files[i], bytes))))
            {
                (own.TryGetValue(reading.VesselId, out List<Reading>? list) ? list : own[reading.VesselId] = []).Add(reading.Reading);
            }

            perFile[i] = own;
        });
        var readings = new Dictionary<string, List<Reading>>(StringComparer.Ordinal);
        foreach ((string vessel, List<Reading> own) in perFile.SelectMany(file => file))
        {
            (readings.TryGetValue(vessel, out List<Reading>? list) ? list : readings[vessel] = []).AddRange(own);
        }

        return readings.ToDictionary(
            pair => pair.Key,
            pair => pair.Value.Order(StableOrder).DistinctBy(reading => (reading.Instant, reading.Signal)).ToList(),
            StringComparer.Ordinal);
    }

    private static readonly IComparer<Reading> StableOrder = Comparer<Reading>.Create((one, other) => one.CompareTo(other));

    private sealed class Progress(Action<long> told) : IProgress<long>
    {
        public void Report(long value) => told(value);
    }
}
