using DriftWatch.Delivery.Answers;
using DriftWatch.Gas.Units;
using DriftWatch.Host.Assessing;
using DriftWatch.Host.Health;
using DriftWatch.Host.Registering;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;

namespace DriftWatch.Host.Web;

/// <summary>What the pages are made from.</summary>
/// <param name="Vessels">The vessels, as they are at any time.</param>
/// <param name="Store">What is known of them.</param>
/// <param name="Clock">The time of day at the plant: ages are reckoned from it.</param>
/// <param name="Unit">Unit of pressure for a reader who has not chosen one.</param>
public sealed record Desk(LiveRegister Vessels, PlantStore Store, PlantClock Clock, PressureUnit Unit)
{
    /// <summary>The register now: take it once for one answer.</summary>
    public VesselRegister Register => Vessels.Current;

    /// <summary>The true time of day, which sessions and the audit log go by.</summary>
    public TimeProvider Time { get; init; } = TimeProvider.System;

    /// <summary>Folder of the keys under which cookies and form tokens are sealed; null for keys that a restart forgets.</summary>
    public string? KeyFolder { get; init; }

    /// <summary>How alarms are handled.</summary>
    public AlarmHandling Alarms { get; init; } = AlarmHandling.Usual;

    /// <summary>Takes answers to jobs over HTTP; null where none are taken.</summary>
    public AnswerDesk? Answers { get; init; }

    /// <summary>What changes the register file; null where the register is only shown.</summary>
    public RegisterEditor? Editor { get; init; }

    /// <summary>Where raw readings are read back from; the store itself unless told otherwise.</summary>
    public IReadingHistory History { get; init; } = Store;

    /// <summary>How the service behind the pages stands; null where none runs.</summary>
    public ServiceHealth? Health { get; init; }

    /// <summary>The figures of the service as Prometheus text; none where no service runs behind the pages.</summary>
    public Func<string> Metrics { get; init; } = () => "";
}
