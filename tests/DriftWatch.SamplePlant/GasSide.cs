using DriftWatch.Gas.Nitrogen;

namespace DriftWatch.SamplePlant;

/// <summary>
/// How much nitrogen a vessel holds, and in what volume, at any instant: the planted truth, by amount of substance.
/// </summary>
public sealed class GasSide
{
    /// <summary>Reference temperature of all precharges, K.</summary>
    public const double ReferenceK = 293.15;

    /// <summary>A month as the register counts it.</summary>
    public static readonly TimeSpan Month = TimeSpan.FromDays(365.25 / 12);

    private readonly VesselScript _script;
    private readonly List<Part> _parts = [];

    public GasSide(VesselScript script)
    {
        _script = script;
        IEnumerable<DateTimeOffset> breaks = _script.Leaks.Select(leak => leak.From)
            .Concat(_script.Recharges.Select(recharge => recharge.At))
            .Append(_script.Start)
            .Where(at => at >= _script.Start)
            .Distinct()
            .Order();
        foreach (DateTimeOffset at in breaks)
        {
            Recharge? recharge = _script.Recharges.SingleOrDefault(r => r.At == at);
            double amountMol = recharge is not null ? AmountMolFor(recharge.ToBarGauge, at)
                : _parts.Count == 0 ? AmountMolFor(_script.StartBarGauge, at)
                : _parts[^1].AmountMolAt(at);
            Leak? leak = _script.Leaks.LastOrDefault(l => l.From <= at);
            double precharge = PrechargeBarGauge(amountMol, GasVolumeM3(at));
            double monthlyMol = leak is null ? 0 : amountMol - AmountMolFor(precharge - leak.BarPerMonth, at);
            _parts.Add(new Part(at, amountMol, monthlyMol, leak?.Law ?? LeakLaw.ConstantMass));
        }
    }

    /// <summary>Start of the last segment: the last charge, the burst, or the start of the data.</summary>
    public DateTimeOffset SegmentStart =>
        _script.Recharges.Select(r => r.At).Append(_script.BurstAt ?? _script.Start).Append(_script.Start).Max();

    /// <summary>Nitrogen in the vessel, mol. After a burst what stands in the empty shell at barometric pressure.</summary>
    public double AmountMol(DateTimeOffset at)
    {
        return IsBurst(at) ? AmountMolFor(0, at) : _parts.Last(part => part.Start <= at || part == _parts[0]).AmountMolAt(at);
    }

    /// <summary>Volume of the gas with the fluid side released, m3.</summary>
    public double GasVolumeM3(DateTimeOffset at)
    {
        return (_script.GasVolumeLitres - (_script.IngressLitresPerMonth * ((at - _script.Start) / Month))) * 1e-3;
    }

    public bool IsBurst(DateTimeOffset at)
    {
        return at >= _script.BurstAt;
    }

    /// <summary>True precharge at reference temperature, bar gauge.</summary>
    public double PrechargeBarGauge(DateTimeOffset at)
    {
        return PrechargeBarGauge(AmountMol(at), GasVolumeM3(at));
    }

    /// <summary>When the true precharge crosses the lower limit; null when it does not within ten years of the current segment's start.</summary>
    public DateTimeOffset? LowerLimitCrossing()
    {
        DateTimeOffset before = SegmentStart;
        DateTimeOffset after = before.AddYears(10);
        if (_script.BurstAt is not null)
        {
            return _script.BurstAt;
        }

        if (PrechargeBarGauge(before) < _script.LowerLimitBarGauge || PrechargeBarGauge(after) >= _script.LowerLimitBarGauge)
        {
            return null;
        }

        while (after - before > TimeSpan.FromMinutes(1))
        {
            DateTimeOffset middle = before + ((after - before) / 2);
            (before, after) = PrechargeBarGauge(middle) >= _script.LowerLimitBarGauge ? (middle, after) : (before, middle);
        }

        return after;
    }

    private double PrechargeBarGauge(double amountMol, double volumeM3)
    {
        // A leak ends when nothing is left above the air outside.
        double density = Math.Max(amountMol / volumeM3, 1);
        double pressurePa = NitrogenEquation.PressurePa(ReferenceK, density);
        return Math.Max(0, pressurePa - _script.BarometricPa) / 1e5;
    }

    private double AmountMolFor(double barGauge, DateTimeOffset at)
    {
        return NitrogenEquation.MolarDensityMolPerM3(ReferenceK, _script.BarometricPa + (barGauge * 1e5)) * GasVolumeM3(at);
    }

    private sealed record Part(DateTimeOffset Start, double StartMol, double FirstMonthMol, LeakLaw Law)
    {
        public double AmountMolAt(DateTimeOffset at)
        {
            double months = (at - Start) / Month;
            return Law == LeakLaw.ConstantMass
                ? StartMol - (FirstMonthMol * months)
                : StartMol * Math.Pow(1 - (FirstMonthMol / StartMol), months);
        }
    }
}
