using DriftWatch.Gas.Quantities;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Tests;

/// <summary>Vessels and windows for small scenarios.</summary>
internal static class Make
{
    public static readonly DateTimeOffset Start = new(2026, 1, 5, 0, 0, 0, TimeSpan.Zero);

    /// <summary>50 l bladder, 100 bar gauge at 20 degrees C, limits 90 and 108, allowed 1 bar/month, p1 125 bar; gauge sensor 0 to 250 bar.</summary>
    public static VesselSpecification Vessel(PressureSensor? fluid = null, bool contact = false) => new()
    {
        Type = VesselType.Bladder,
        GasVolume = GasVolume.FromCubicMetres(0.05),
        ReferenceTemperature = GasTemperature.FromDegreesCelsius(20),
        NominalPrecharge = GaugePressure.FromPascals(100e5),
        LowerLimit = GaugePressure.FromPascals(90e5),
        UpperLimit = GaugePressure.FromPascals(108e5),
        AllowedLossPaPerSecond = 1e5 / LossRate.SecondsPerMonth,
        LowestWorkingPressure = GaugePressure.FromPascals(125e5),
        HighestWorkingPressure = GaugePressure.FromPascals(210e5),
        Ambient = AbsolutePressure.FromPascals(1e5),
        GasPressureSensor = new PressureSensor(PressureKind.Gauge, 0, 250e5, 0.2e5),
        GasTemperatureSensor = new TemperatureSensor(233.15, 398.15, 0.5),
        FluidPressureSensor = fluid,
        HasDepressurisedContact = contact,
    };

    /// <summary>A window of six hours that holds by its own readings.</summary>
    /// <param name="day">Its start, days after <see cref="Start"/>.</param>
    /// <param name="bar">Precharge, bar absolute.</param>
    /// <param name="uncertaintyBar">Random standard uncertainty, bar.</param>
    /// <param name="evidence">What shows the release.</param>
    /// <param name="rest">Number of its rest; one of its own by default.</param>
    public static PrechargeWindow Window(
        double day, double bar, double uncertaintyBar = 0.1, WindowEvidence evidence = WindowEvidence.RestingPlateau, long? rest = null) => new()
        {
            Start = Start.AddDays(day),
            End = Start.AddDays(day).AddHours(6),
            ReadingCount = 30,
            Evidence = evidence,
            MeanPressurePa = bar * 1e5,
            MeanTemperatureK = 293.15,
            PrechargePa = bar * 1e5,
            RandomUncertaintyPa = uncertaintyBar * 1e5,
            SharedUncertaintyPa = 0.2e5,
            IsochoreSlopePaPerK = double.NaN,
            Rest = rest ?? (long)Math.Round(day * 24),
            Standing = WindowStanding.Accepted,
        };
}
