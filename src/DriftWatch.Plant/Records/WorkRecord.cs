using System.Globalization;
using DriftWatch.Gas.Quantities;
using DriftWatch.Trends.Inspection;

namespace DriftWatch.Plant.Records;

/// <summary>Work on the gas side of a vessel, as somebody recorded it. A record is never changed: a wrong one is voided.</summary>
public sealed record WorkRecord
{
    /// <summary>Greatest gas pressure that can be recorded, bar gauge, itself included.</summary>
    public const double GreatestBarGauge = 650;

    /// <summary>Lowest gas temperature that can be recorded, degrees C, itself included.</summary>
    public const double LowestCelsius = -40;

    /// <summary>Highest gas temperature that can be recorded, degrees C, itself included.</summary>
    public const double HighestCelsius = 100;

    private const double MostNitrogenKg = 100_000;
    private const int LongestName = 200;
    private const int LongestNote = 2000;

    /// <summary>How far the sender's clock may be ahead.</summary>
    private static readonly TimeSpan ClockDoubt = TimeSpan.FromMinutes(10);

    private static readonly DateTimeOffset Earliest = new(1970, 1, 1, 0, 0, 0, TimeSpan.Zero);

    /// <summary>Id that the sender gave it: sent again with the same id it is still one record.</summary>
    public required Guid Id { get; init; }

    /// <summary>The vessel.</summary>
    public required string VesselId { get; init; }

    /// <summary>What was done.</summary>
    public required WorkKind Kind { get; init; }

    /// <summary>When the work was done, UTC: of a charge, when the values were read at its end.</summary>
    public required DateTimeOffset At { get; init; }

    /// <summary>Who did it.</summary>
    public required string Who { get; init; }

    /// <summary>Gas pressure found or left, bar gauge, 0 to 650, fluid side released; null when it is not on record.</summary>
    public double? GasPressureBarGauge { get; init; }

    /// <summary>Gas temperature at that pressure, degrees C, -40 to 100; null as the pressure is.</summary>
    public double? GasTemperatureCelsius { get; init; }

    /// <summary>Nitrogen that a charge took, kg, 0 or more; null when it is not known.</summary>
    public double? NitrogenKg { get; init; }

    /// <summary>Which gauge it was read with; empty when that is not on record.</summary>
    public string GaugeId { get; init; } = "";

    /// <summary>Whether it was confirmed that the fluid side was isolated and fully released. Values count only with it, and a check is none without it: it ends a job and puts the next one off.</summary>
    public bool IsolatedAndReleased { get; init; }

    /// <summary>In words; empty for none.</summary>
    public string Note { get; init; } = "";

    /// <summary>The job that it answers; empty for none.</summary>
    public string JobKey { get; init; } = "";

    /// <summary>The way it came.</summary>
    public required RecordSource Source { get; init; }

    /// <summary>Who sent it: the name signed in with, or what vouches for it.</summary>
    public required string EnteredBy { get; init; }

    /// <summary>When it was received, UTC.</summary>
    public required DateTimeOffset Received { get; init; }

    /// <summary>What was seen of the precharge.</summary>
    public PrechargeCheck Seen => GasPressureBarGauge is { } bar && GasTemperatureCelsius is { } celsius
        ? new PrechargeCheck(At, GaugePressure.FromBar(bar), GasTemperature.FromDegreesCelsius(celsius)) { GaugeId = GaugeId }
        : new PrechargeCheck(At) { GaugeId = GaugeId };

    /// <summary>Whether another record says the same of the work, whenever and from whom it came.</summary>
    public bool SaysTheSameAs(WorkRecord other) =>
        this == other with { Source = Source, EnteredBy = EnteredBy, Received = Received };

    /// <summary>All that is wrong with it, a line each with the field and how to mend it; empty when it can be recorded.</summary>
    public IReadOnlyList<string> Faults()
    {
        List<string> faults = [];
        Check(Id != Guid.Empty, "id", "is missing", "Give a UUID of its own, and the same one when it is sent again");
        Check(VesselId.Length > 0, "vesselId", "is missing", "Name the vessel");
        Check(Enum.IsDefined(Kind), "kind", "is unknown", "Give charge, check or transducerChange");
        Check(At.Offset == TimeSpan.Zero && At >= Earliest && At <= Received + ClockDoubt, "at", $"is {At:O}", "Give the time of the work in UTC, not before 1970 and not in the future");
        Check(!string.IsNullOrWhiteSpace(Who) && Who.Length <= LongestName, "who", "is missing or too long", $"Name who did it, in up to {LongestName} characters");
        Check(GasPressureBarGauge is null or (>= 0 and <= GreatestBarGauge), "gasPressureBarGauge", $"is {Text(GasPressureBarGauge)}", $"Give 0 to {GreatestBarGauge} bar gauge");
        Check(GasTemperatureCelsius is null or (>= LowestCelsius and <= HighestCelsius), "gasTemperatureCelsius", $"is {Text(GasTemperatureCelsius)}", $"Give {LowestCelsius} to {HighestCelsius} degrees C");
        Check(GasPressureBarGauge is null == GasTemperatureCelsius is null, "gasTemperatureCelsius", "belongs to the pressure; one of them is missing", "Give both, or neither");
        Check(NitrogenKg is null or (>= 0 and <= MostNitrogenKg), "nitrogenKg", $"is {Text(NitrogenKg)}", $"Give 0 to {MostNitrogenKg} kg");
        Check(NitrogenKg is null || Kind == WorkKind.Charge, "nitrogenKg", "belongs to a charge", "Leave it out");
        Check(GasPressureBarGauge is null || Kind != WorkKind.TransducerChange, "gasPressureBarGauge", "belongs to a charge or a check", "Record what was read by hand as a check of its own");
        Check(GaugeId.Length <= LongestName, "gaugeId", "is too long", $"Use up to {LongestName} characters");
        Check(
            IsolatedAndReleased || (GasPressureBarGauge is null && Kind != WorkKind.Check), "isolatedAndReleased", "is not confirmed",
            $"The gas shows its precharge only with the fluid side isolated and fully released: confirm it, or {(Kind == WorkKind.Check ? "record no check" : "leave the values out")}");
        Check(Note.Length <= LongestNote, "note", "is too long", $"Use up to {LongestNote} characters");
        return faults;

        void Check(bool good, string field, string problem, string mend)
        {
            if (!good)
            {
                faults.Add($"{field} {problem}. {mend}.");
            }
        }

        static string Text(double? number) => number?.ToString(CultureInfo.InvariantCulture) ?? "";
    }
}
