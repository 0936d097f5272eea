using System.Collections.Concurrent;
using System.Diagnostics;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Following;
using DriftWatch.Plant.History;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using Microsoft.Data.Sqlite;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Assessing;

/// <summary>
/// Brings all vessels up to what the store holds. A vessel whose assessment fails is told of, left out for a while and
/// tried again; meanwhile its record says that nothing is known, and its silence is noticed. It holds back no other. One
/// caller at a time.
/// </summary>
internal sealed class Assessor
{
    private static readonly TimeSpan TryAgainAfter = TimeSpan.FromMinutes(5);

    private readonly LiveRegister _register;
    private readonly IVesselHistory _history;
    private readonly AlarmHandling _alarms;
    private readonly Dictionary<string, VesselAnalyst> _analysts = new(StringComparer.Ordinal);

    /// <summary>When vessels that are left out failed, by the time that runs on whatever is done to the clock.</summary>
    private readonly Dictionary<string, long> _leftOutSince = new(StringComparer.Ordinal);
    private readonly ConcurrentDictionary<string, string> _failed = new(StringComparer.Ordinal);
    private readonly TimeProvider _clock;
    private readonly ILogger<Assessor> _log;
    private VesselRegister _seen;
    private long _passedToTicks;
    private long _steps;

    public Assessor(LiveRegister register, IVesselHistory history, AlarmHandling alarms, TimeProvider clock, ILogger<Assessor> log)
    {
        _register = register;
        _seen = register.Current;
        _history = history;
        _alarms = alarms;
        _clock = clock;
        _log = log;
    }

    /// <summary>Up to when time has passed for all vessels, UTC. From any thread.</summary>
    public DateTimeOffset PassedTo => new(Interlocked.Read(ref _passedToTicks), TimeSpan.Zero);

    /// <summary>Vessels whose last step failed, with the reason. From any thread.</summary>
    public IReadOnlyDictionary<string, string> Failed => _failed;

    /// <summary>Steps made since the start. From any thread.</summary>
    public long Steps => Interlocked.Read(ref _steps);

    /// <summary>Whether the register has news that time has not passed over yet.</summary>
    public bool TimeIsDue { get; private set; }

    /// <summary>
    /// Takes in what waits, of every vessel that has something waiting or that the register tells differently from before;
    /// gives how many vessels that were.
    /// </summary>
    public int TakeInWaiting(CancellationToken stop)
    {
        int vessels = 0;
        VesselRegister register = _register.Current;
        if (!ReferenceEquals(register, _seen))
        {
            foreach (Vessel vessel in register.Vessels.Where(vessel => !ReferenceEquals(vessel, _seen.Find(vessel.Id))))
            {
                stop.ThrowIfCancellationRequested();
                if (Step(vessel, now: null))
                {
                    vessels++;
                }
            }

            ForgetFailuresOfWhatLeft(register);
            _seen = register;
            TimeIsDue = true;
        }

        foreach (VesselInbox inbox in _history.Waiting())
        {
            stop.ThrowIfCancellationRequested();

            // A vessel that has left the register keeps its readings and waits for its return.
            if (register.Find(inbox.VesselId) is { } vessel && Step(vessel, now: null))
            {
                vessels++;
            }
        }

        return vessels;
    }

    /// <summary>Lets time pass for all vessels: notices silence that has become too long.</summary>
    public void LetTimePass(DateTimeOffset now, CancellationToken stop)
    {
        foreach (Vessel vessel in _register.Current.Vessels)
        {
            stop.ThrowIfCancellationRequested();
            Step(vessel, now);
            if (_failed.TryGetValue(vessel.Id, out string? why))
            {
                TellFailure(vessel, now, why);
            }
        }

        TimeIsDue = false;
        Interlocked.Exchange(ref _passedToTicks, now.UtcTicks);
    }

    /// <summary>Forgets what is held of a vessel in memory: its next step asks the store.</summary>
    public void Forget(string vesselId) => _analysts.Remove(vesselId);

    private void ForgetFailuresOfWhatLeft(VesselRegister register)
    {
        foreach (string gone in _failed.Keys.Where(id => register.Find(id) is null).ToArray())
        {
            _ = _failed.TryRemove(gone, out _);
            _ = _leftOutSince.Remove(gone);
        }
    }

    private bool Step(Vessel vessel, DateTimeOffset? now)
    {
        if (_leftOutSince.TryGetValue(vessel.Id, out long since) && _clock.GetElapsedTime(since) < TryAgainAfter)
        {
            return false;
        }

        using Activity? trace = AssessmentTracing.Source.StartActivity("assess");
        _ = trace?.SetTag("vessel", vessel.Id);
        try
        {
            AnalystOf(vessel).Step(now);
            _leftOutSince.Remove(vessel.Id);
            _failed.TryRemove(vessel.Id, out _);
            Interlocked.Increment(ref _steps);
            return true;
        }
        catch (Exception exception) when (IsOfOneVessel(exception))
        {
            string why = WhyOf(exception);
            HostLog.VesselFailed(_log, exception, vessel.Id, why);
            _ = trace?.SetStatus(ActivityStatusCode.Error, why);
            _failed[vessel.Id] = why;
            _leftOutSince[vessel.Id] = _clock.GetTimestamp();
            return false;
        }
    }

    private void TellFailure(Vessel vessel, DateTimeOffset now, string why)
    {
        try
        {
            _ = AnalystOf(vessel).TellFailure(now, why);
        }
        catch (Exception exception) when (IsOfOneVessel(exception))
        {
            // Health and log alone tell of it then; the log once where both fail for one reason.
            if (WhyOf(exception) is var reason && reason != why)
            {
                HostLog.VesselFailed(_log, exception, vessel.Id, reason);
            }
        }
    }

    /// <summary>
    /// Whether a failure is one vessel's own: where the database itself refuses, it is the store's and all wait; a record in it that
    /// cannot be read is that of its vessel.
    /// </summary>
    private static bool IsOfOneVessel(Exception failure) =>
        failure is not (StoreUnavailableException { InnerException: SqliteException } or OperationCanceledException or OutOfMemoryException);

    private static string WhyOf(Exception failure) => failure is StoreUnavailableException
        ? $"{failure.Message} The command 'store verify' names all that cannot be read."
        : failure.Message;

    private VesselAnalyst AnalystOf(Vessel vessel)
    {
        if (!_analysts.TryGetValue(vessel.Id, out VesselAnalyst? analyst))
        {
            _analysts.Add(vessel.Id, analyst = new VesselAnalyst(vessel, _history, _alarms));
        }
        else if (!ReferenceEquals(analyst.Vessel, vessel))
        {
            analyst.Vessel = vessel;
        }

        return analyst;
    }
}
