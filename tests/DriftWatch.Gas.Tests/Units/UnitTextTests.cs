using System.Globalization;
using CsCheck;
using DriftWatch.Gas.Leaks;
using DriftWatch.Gas.Quantities;
using DriftWatch.Gas.Units;

namespace DriftWatch.Gas.Tests.Units;

public class UnitTextTests
{
    private static readonly CultureInfo Invariant = CultureInfo.InvariantCulture;
    private static readonly AbsolutePressure Ambient = AbsolutePressure.FromBar(1);

    /// <summary>
    /// NIST SP 811, appendix B, by its exact definitions: pound 0.45359237 kg, inch 0.0254 m, standard gravity 9.80665 m/s2, US gallon 231
    /// cubic inches.
    /// </summary>
    [Fact]
    public void Factors_follow_from_their_definitions()
    {
        const double inch = 0.0254;
        Assert.Equal(0.45359237 * 9.80665 / (inch * inch), PressureUnit.Psi.PascalsPerUnit, 1e-9);
        Assert.Equal(98_066.5, PressureUnit.KilogramForcePerSquareCentimetre.PascalsPerUnit, 1e-9);
        Assert.Equal([1e5, 1e3, 1e6, 1], PressureUnit.All.Take(4).Select(u => u.PascalsPerUnit));
        Assert.Equal(inch * inch * inch, VolumeUnit.CubicInch.CubicMetresPerUnit, 1e-18);
        Assert.Equal(231 * inch * inch * inch, VolumeUnit.UsGallon.CubicMetresPerUnit, 1e-15);
        Assert.Equal(0.001, VolumeUnit.Litre.CubicMetresPerUnit, 1e-18);
        Assert.Equal(1, VolumeUnit.CubicMetre.CubicMetresPerUnit);
    }

    [Theory]
    [InlineData("90 bar gauge", 9e6)]
    [InlineData("90barg", 9e6)]
    [InlineData("90 bar(g)", 9e6)]
    [InlineData(" 9.0e3  kPa  g ", 9e6)]
    [InlineData("9 MPa gauge", 9e6)]
    [InlineData("9e6 Pa gauge", 9e6)]
    [InlineData("-0.5 bar gauge", -5e4)]
    [InlineData("1000 psig", 6_894_757.293168)]
    [InlineData("10 kgf/cm2 gauge", 980_665)]
    [InlineData("10 kgf/cm² g", 980_665)]
    public void Gauge_pressures_are_read(string text, double pascals) =>
        Assert.Equal(pascals, PressureText.ParseGauge(text).Pascals, 1e-5);

    [Theory]
    [InlineData("91 bar absolute", 9.1e6)]
    [InlineData("91 bara", 9.1e6)]
    [InlineData("14.696 psia", 101_325.3)]
    [InlineData("101325 Pa abs", 101_325)]
    [InlineData("101325 Paa", 101_325)]
    [InlineData(".101325 MPa (a)", 101_325)]
    public void Absolute_pressures_are_read(string text, double pascals) =>
        Assert.Equal(pascals, PressureText.ParseAbsolute(text).Pascals, 0.1);

    [Fact]
    public void Either_kind_becomes_absolute_by_the_ambient_pressure()
    {
        Assert.Equal(9.1e6, PressureText.ParseToAbsolute("90 bar gauge", Ambient).Pascals, 1e-6);
        Assert.Equal(9e6, PressureText.ParseToAbsolute("90 bar absolute", Ambient).Pascals, 1e-6);
    }

    public static TheoryData<string, Func<object>> Refused => new()
    {
        { "does not say gauge or absolute", () => (object)PressureText.ParseGauge("90 bar") },
        { "does not say gauge or absolute", () => (object)PressureText.ParseToAbsolute("101325 Pa", Ambient) },
        { "it is absolute", () => (object)PressureText.ParseGauge("91 bara") },
        { "it is gauge", () => (object)PressureText.ParseAbsolute("90 barg") },
        { "none of bar, kPa", () => (object)PressureText.ParseGauge("90 mPa gauge") },
        { "none of", () => (object)PressureText.ParseGauge("90 atm gauge") },
        { "'wet' says neither", () => (object)PressureText.ParseGauge("90 bar wet") },
        { "comma", () => (object)PressureText.ParseGauge("90,5 bar gauge") },
        { "comma", () => (object)PressureText.ParseGauge("1.234.5 bar gauge") },
        { "starts with no number", () => (object)PressureText.ParseGauge("bar gauge") },
        { "starts with no number", () => (object)PressureText.ParseGauge("NaN bar gauge") },
        { "Gauge pressure is", () => (object)PressureText.ParseGauge("-2 bar gauge") },
        { "'Torr' is no unit of pressure", () => PressureUnit.FromSymbol("Torr") },
        { "none of", () => (object)TemperatureText.Parse("20 R") },
        { "starts with no number", () => (object)TemperatureText.Parse("cold") },
        { "Gas temperature is", () => (object)TemperatureText.Parse("-300 degrees C") },
        { "'R' is no unit of temperature", () => TemperatureUnit.FromSymbol("R") },
        { "must say US", () => (object)VolumeText.Parse("10 gal") },
        { "Gas volume is", () => (object)VolumeText.Parse("-1 l") },
        { "'gal' is no unit of volume", () => VolumeUnit.FromSymbol("gal") },
        { "at which gas temperature", () => (object)LeakRateText.Parse("1e-5 Pa m3/s") },
        { "standard condition", () => (object)LeakRateText.Parse("1 std cm3/min") },
        { "standard condition", () => (object)LeakRateText.Parse("1 std l/month (DIN 9999)") },
        { "none of", () => (object)LeakRateText.Parse("1 Torr l/s") },
        { "State the temperature", () => LeakRateUnit.MillibarLitresPerSecondAt(default) },
    };

    [Theory]
    [MemberData(nameof(Refused))]
    public void What_is_unclear_is_refused_with_how_to_write_it(string says, Func<object> make)
    {
        Exception? error = Record.Exception(make);
        Assert.NotNull(error);
        Assert.True(error is FormatException or ArgumentOutOfRangeException, error.ToString());
        Assert.Contains(says, error.Message, StringComparison.Ordinal);
    }

    /// <summary>Fixed points of the scales: water freezes at 32 °F and boils at 212 °F; -40 is the same on both.</summary>
    [Theory]
    [InlineData("32 °F", 273.15)]
    [InlineData("212 degrees F", 373.15)]
    [InlineData("-40 F", 233.15)]
    [InlineData("-40 °C", 233.15)]
    [InlineData("20 degrees C", 293.15)]
    [InlineData("293.15 K", 293.15)]
    public void Temperatures_are_read(string text, double kelvins) => Assert.Equal(kelvins, TemperatureText.Parse(text).Kelvins, 1e-9);

    [Theory]
    [InlineData("50 l", 0.05)]
    [InlineData("50 litres", 0.05)]
    [InlineData("0.05 m3", 0.05)]
    [InlineData("10 US gal", 0.03785411784)]
    [InlineData("2310 in3", 0.03785411784)]
    [InlineData("2310 cubic inches", 0.03785411784)]
    public void Volumes_are_read(string text, double cubicMetres) => Assert.Equal(cubicMetres, VolumeText.Parse(text).CubicMetres, 1e-12);

    /// <summary>Ideal molar volume 22.41397 l/mol at 0 degrees C and 1 atm (CODATA); 1 mbar l/s = 0.1 Pa m3/s; R T at 20 degrees C.</summary>
    [Theory]
    [InlineData("22.41397 std cm3/min (DIN 1343)", 1e-3 / 60)]
    [InlineData("22.41397 sccm (DIN 1343)", 1e-3 / 60)]
    [InlineData("23.64483 std cm3/min (ISO 13443)", 1e-3 / 60)]
    [InlineData("22.41397 std l/month (DIN 1343)", 12 / (365.25 * 86_400))]
    [InlineData("28.0134 g/year", 1 / (365.25 * 86_400))]
    [InlineData("2437.385 Pa m3/s at 20 degrees C", 1)]
    [InlineData("24373.85 mbar l/s at 293.15 K", 1)]
    public void Leak_rates_are_read_with_their_condition(string text, double molPerS) =>
        Assert.Equal(molPerS, LeakRateText.Parse(text).MolesPerSecond, 5e-6 * molPerS);

    [Fact]
    public void Every_unit_is_written_as_it_is_read() => Gen.Select(Gen.Double[0.1, 900], Gen.Double[-30, 90], Gen.Double[1e-9, 1e-3]).Sample((bar, celsius, rate) =>
    {
        foreach (PressureUnit unit in PressureUnit.All)
        {
            // Half of the last decimal shown.
            double rounding = 0.5000001 * unit.PascalsPerUnit * Math.Pow(10, -unit.Decimals);
            GaugePressure gauge = GaugePressure.FromBar(bar);
            Assert.Equal(gauge.Pascals, PressureText.ParseGauge(PressureText.Format(gauge, unit, Invariant)).Pascals, rounding);
            AbsolutePressure absolute = AbsolutePressure.FromBar(bar);
            Assert.Equal(absolute.Pascals, PressureText.ParseAbsolute(PressureText.Format(absolute, unit, Invariant)).Pascals, rounding);
            Assert.Same(unit, PressureUnit.FromSymbol(unit.ToString()));
        }

        GasTemperature temperature = GasTemperature.FromDegreesCelsius(celsius);
        Assert.All(TemperatureUnit.All, unit =>
        {
            Assert.Equal(temperature.Kelvins, TemperatureText.Parse(TemperatureText.Format(temperature, unit, Invariant)).Kelvins, 0.0501);
            Assert.Equal(temperature.Kelvins, unit.ToTemperature(unit.From(temperature)).Kelvins, 1e-9);
            Assert.Same(unit, TemperatureUnit.FromSymbol(unit.ToString()));
        });
        GasVolume volume = GasVolume.FromLitres(bar);
        Assert.All(VolumeUnit.All, unit =>
        {
            double rounding = 0.5000001 * unit.CubicMetresPerUnit * Math.Pow(10, -unit.Decimals);
            Assert.Equal(volume.CubicMetres, VolumeText.Parse(VolumeText.Format(volume, unit, Invariant)).CubicMetres, rounding);
            Assert.Same(unit, VolumeUnit.FromSymbol(unit.ToString()));
        });
        LeakRate leak = LeakRate.FromMolesPerSecond(rate);
        Assert.All(LeakRateUnits, unit => Assert.Equal(rate, LeakRateText.Parse(LeakRateText.Format(leak, unit, Invariant)).MolesPerSecond, 5.01e-4 * rate));
    });

    [Fact]
    public void Texts_for_logs_are_read_back_exactly() => Gen.Select(Gen.Double[0, 900], Gen.Double[-100, 300]).Sample((bar, celsius) =>
    {
        Assert.Equal(bar, PressureText.ParseGauge(GaugePressure.FromBar(bar).ToString()).Bar, 1e-12 * (1 + bar));
        Assert.Equal(bar, PressureText.ParseAbsolute(AbsolutePressure.FromBar(bar).ToString()).Bar, 1e-12 * (1 + bar));
        Assert.Equal(bar, VolumeText.Parse(GasVolume.FromLitres(bar).ToString()).Litres, 1e-12 * (1 + bar));
        Assert.Equal(celsius, TemperatureText.Parse(GasTemperature.FromDegreesCelsius(celsius).ToString()).DegreesCelsius, 1e-6);
    });

    [Fact]
    public void A_reader_sees_his_units_in_his_format()
    {
        GaugePressure p = GaugePressure.FromBar(90.04);
        Assert.Equal("90.0 bar gauge", DisplayUnits.Metric.Show(p, Invariant));
        Assert.Equal("90,0 bar gauge", DisplayUnits.Metric.Show(p, CultureInfo.GetCultureInfo("de-DE")));
        Assert.Equal("1306 psi gauge", DisplayUnits.UsCustomary.Show(p, Invariant));
        Assert.Equal("9.00 MPa gauge", new DisplayUnits { Pressure = PressureUnit.Megapascal }.Show(p, Invariant));
        Assert.Equal("9004 kPa gauge", new DisplayUnits { Pressure = PressureUnit.Kilopascal }.Show(p, Invariant));
        Assert.Equal("1.0 bar absolute", DisplayUnits.Metric.Show(Ambient, Invariant));
        Assert.Equal("0.0 bar gauge", DisplayUnits.Metric.Show(GaugePressure.FromPascals(-100), Invariant));
        Assert.Equal("20.0 °C", DisplayUnits.Metric.Show(GasTemperature.FromDegreesCelsius(20), Invariant));
        Assert.Equal("68.0 °F", DisplayUnits.UsCustomary.Show(GasTemperature.FromDegreesCelsius(20), Invariant));
        Assert.Equal("13.21 US gal", DisplayUnits.UsCustomary.Show(GasVolume.FromLitres(50), Invariant));
        Assert.Equal("50.00 l", DisplayUnits.Metric.Show(GasVolume.FromLitres(50), Invariant));
        Assert.Equal("1.345 std cm3/min (DIN 1343)", DisplayUnits.Metric.Show(LeakRate.FromMolesPerSecond(1e-6), Invariant));
        Assert.Equal("0.002437 Pa m3/s at 20 degrees C", new DisplayUnits { LeakRate = LeakRateUnits[1] }.Show(LeakRate.FromMolesPerSecond(1e-6), Invariant));
    }

    private static IReadOnlyList<LeakRateUnit> LeakRateUnits { get; } =
    [
        LeakRateUnit.GramsPerYear,
        LeakRateUnit.PascalCubicMetresPerSecondAt(GasTemperature.FromDegreesCelsius(20)),
        LeakRateUnit.MillibarLitresPerSecondAt(GasTemperature.FromKelvins(300)),
        .. StandardCondition.All.Select(LeakRateUnit.StandardCubicCentimetresPerMinute),
        .. StandardCondition.All.Select(LeakRateUnit.StandardLitresPerMonth),
    ];
}
