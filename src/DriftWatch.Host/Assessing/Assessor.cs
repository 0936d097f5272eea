using DriftWatch.Plant.Following;
using DriftWatch.Plant.History;
using DriftWatch.Plant.Register;

namespace DriftWatch.Host.Assessing;

/// <summary>Brings all vessels up to what the store holds. One caller at a time.</summary>
internal sealed class Assessor
{
    private readonly VesselRegister _register;
    private readonly IVesselHistory _history;
    private readonly Dictionary<string, VesselAnalyst> _analysts = new(StringComparer.Ordinal);
    private long _passedToTicks;

    public Assessor(VesselRegister register, IVesselHistory history)
    {
        _register = register;
        _history = history;
    }

    /// <summary>Up to when time has passed for all vessels, UTC. From any thread.</summary>
    public DateTimeOffset PassedTo => new(Interlocked.Read(ref _passedToTicks), TimeSpan.Zero);

    /// <summary>Takes in what waits, of every vessel that has something waiting; gives how many vessels that were.</summary>
    public int TakeInWaiting(CancellationToken stop)
    {
        int vessels = 0;
        foreach (VesselInbox inbox in _history.Waiting())
        {
            stop.ThrowIfCancellationRequested();

            // A vessel that has left the register keeps its readings and waits for its return.
            if (_register.Find(inbox.VesselId) is { } vessel)
            {
                AnalystOf(vessel).Step(now: null);
                vessels++;
            }
        }

        return vessels;
    }

    /// <summary>Lets time pass for all vessels: notices silence that has become too long.</summary>
    public void LetTimePass(DateTimeOffset now, CancellationToken stop)
    {
        foreach (Vessel vessel in _register.Vessels)
        {
            stop.ThrowIfCancellationRequested();
            AnalystOf(vessel).Step(now);
        }

        Interlocked.Exchange(ref _passedToTicks, now.UtcTicks);
    }

    private VesselAnalyst AnalystOf(Vessel vessel)
    {
        if (!_analysts.TryGetValue(vessel.Id, out VesselAnalyst? analyst))
        {
            _analysts.Add(vessel.Id, analyst = new VesselAnalyst(vessel, _history));
        }

        return analyst;
    }
}
