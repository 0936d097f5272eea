using System.Globalization;
using DriftWatch.Gas.Charging;
using DriftWatch.Gas.Leaks;
using DriftWatch.Gas.Quantities;
using DriftWatch.Gas.Sizing;
using DriftWatch.Gas.Uncertainty;

namespace DriftWatch.Gas.Tests;

/// <summary>The worked examples of the pages in docs say what the code says. Whether that is right, the other tests tell.</summary>
public class DocumentedExamplesTests
{
    private static readonly GasTemperature Twenty = GasTemperature.FromDegreesCelsius(20);

    [Fact]
    public void Charging()
    {
        string page = Page("charging.md");
        (GasSpace vessel, GasSpace bottle, AbsolutePressure target) = (Space(20, 20), Space(50, 200), AbsolutePressure.FromBar(91));
        foreach ((string words, int minutes) in new[] { ("no time (adiabatic)", 0), ("1 minute", 1), ("3 minutes", 3), ("10 minutes", 10) })
        {
            FillOutcome filled = Filling.ToSettled(
                vessel, bottle, target, HeatExchange.During(TimeSpan.FromMinutes(minutes), TimeSpan.FromMinutes(2), TimeSpan.FromMinutes(5)));
            Says(page, $"| {words} | {filled.PressureNow.Bar:F1} bar | {filled.TemperatureNow.DegreesCelsius:F0} degrees C |");
        }

        Says(page, $"it would settle at {Filling.ToPressure(vessel, bottle, target, HeatExchange.None).Settled.Pressure.Bar:F1} bar");
        BleedOutcome bled = Bleeding.ToSettled(Space(20, 95), target);
        Says(page, $"{bled.Released.GramsOfNitrogen:F0} g let out) a fast bleed shows {bled.PressureNow.Bar:F1} bar and {bled.TemperatureNow.DegreesCelsius:F0} degrees C");
        CascadeOutcome cascade = BottleCascade.Fill(Space(50, 20), [Space(50, 200), Space(50, 90), Space(50, 140)], AbsolutePressure.FromBar(120));
        Assert.Equal(3, cascade.Uses.Count);
        Assert.All(cascade.Uses, use => Says(
            page, $"{use.Before.Pressure.Bar:0.#} bar -> {use.After.Pressure.Bar:0.#} (vessel {use.VesselAfter.Pressure.Bar:0.#})"));
    }

    [Fact]
    public void Sizing()
    {
        string page = Page("sizing.md");
        PrechargedVessel vessel = new(GasVolume.FromLitres(50), AbsolutePressure.FromBar(91), Twenty);
        (AbsolutePressure p1, AbsolutePressure p2) = (AbsolutePressure.FromBar(101), AbsolutePressure.FromBar(211));
        foreach ((string words, StrokeHeat heat) in new[]
        {
            ("isothermal", StrokeHeat.Isothermal), ("stroke of one time constant", StrokeHeat.During(TimeSpan.FromMinutes(1), TimeSpan.FromMinutes(1))),
            ("adiabatic", StrokeHeat.Adiabatic),
        })
        {
            double discharge = UsableVolume.Of(vessel, p1, p2, Twenty, Stroke.Discharge, heat).Litres;
            double charge = UsableVolume.Of(vessel, p1, p2, Twenty, Stroke.Charge, heat).Litres;
            Says(page, $"| {words} | {discharge:F1} l | {charge:F1} l |");
        }

        Says(page, $"{50 * 91 * ((1 / 101.0) - (1 / 211.0)):F1} l (Boyle)");
        Says(page, $"{50 * 91 / 211.0 * (Math.Pow(211 / 101.0, 1 / 1.4) - 1):F1} l discharge, {50 * 91 / 101.0 * (1 - Math.Pow(101 / 211.0, 1 / 1.4)):F1} l charge");
        foreach (int now in new[] { 80, 70, 60, 40 })
        {
            PrechargeConsequence found = PrechargeConsequence.Of(
                vessel, AbsolutePressure.FromBar(now + 1), AccumulatorType.Bladder, p1, p2, Twenty, Stroke.Discharge, StrokeHeat.Adiabatic);
            Says(page, $"| {now} | {100 * found.LostFraction:F0} % | {found.RatioNow:F1}");
        }
    }

    [Fact]
    public void Uncertainty()
    {
        ReadingUncertaintyModel model = new()
        {
            PressureOffsetPa = InputUncertainty.FromLimits(1e5),
            PressureGainFraction = InputUncertainty.FromExpanded(0.001, 2),
            PressureNoisePa = InputUncertainty.FromStandard(1e4),
            PressureResolutionPa = InputUncertainty.FromResolution(1e4),
            TemperatureOffsetK = InputUncertainty.FromLimits(0.3),
            TemperaturePlacementK = InputUncertainty.FromLimits(1),
            TemperaturePlacementChangeK = InputUncertainty.FromStandard(0.15),
            TemperatureLagS = InputUncertainty.FromLimits(600),
            WeatherPa = InputUncertainty.FromStandard(900),
        };
        UncertaintyBudget budget = ReadingUncertainty.OfPressureAtReference(
            GaugePressure.FromBar(90), AbsolutePressure.FromBar(1.013), GasTemperature.FromDegreesCelsius(35), 1.8 / 3600, Twenty, model);
        string page = Page("uncertainty.md");
        Says(page, $"is {budget.Estimate / 1e5:F2} bar absolute with u = {budget.CombinedStandardUncertainty / 1e5:F2} bar");
        Says(page, $"of which {budget.RandomStandardUncertainty / 1e5:F2} bar random and {budget.SharedStandardUncertainty / 1e5:F2} bar shared");
        Assert.All(budget.Shares.Take(7), share => Says(page, $"| {share.Contributor.StandardUncertaintyOfResult / 1e5:F3} |"));
    }

    [Fact]
    public void Leaks()
    {
        AbsolutePressure gas = AbsolutePressure.FromBar(91);
        LeakRate rate = LeakRate.FromPressureTrend(-90e3 / TimeSpan.FromDays(30).TotalSeconds, gas, Twenty, GasVolume.FromLitres(50));
        string page = Page("units.md");
        Says(page, $"{rate.GramsPerYear:F0} g a year, {rate.StandardCubicCentimetresPerMinute(StandardCondition.Din1343):F2} std cm3/min");
        Says(page, $"a hole of about {1e6 * EquivalentHole.DiameterM(rate, gas, Twenty, AbsolutePressure.FromBar(1)):F0} micrometre");
    }

    private static GasSpace Space(double litres, double bar) => new(GasVolume.FromLitres(litres), AbsolutePressure.FromBar(bar), Twenty);

    private static void Says(string page, FormattableString figure) =>
        Assert.Contains(figure.ToString(CultureInfo.InvariantCulture), page, StringComparison.Ordinal);

    private static string Page(string name)
    {
        DirectoryInfo? folder = new(AppContext.BaseDirectory);
        while (folder is not null && !File.Exists(Path.Combine(folder.FullName, "DriftWatch.sln")))
        {
            folder = folder.Parent;
        }

        Assert.NotNull(folder);
        return File.ReadAllText(Path.Combine(folder.FullName, "docs", name));
    }
}
