using CsCheck;
using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Tests.Quantities;

public class QuantityTests
{
    [Fact]
    public void Gauge_and_absolute_meet_only_through_the_ambient_pressure() =>
        Gen.Select(Gen.Double[0, 700], Gen.Double[0.5, 1.1]).Sample((gauge, ambient) =>
        {
            AbsolutePressure around = AbsolutePressure.FromBar(ambient);
            AbsolutePressure absolute = GaugePressure.FromBar(gauge).ToAbsolute(around);
            Assert.Equal(gauge + ambient, absolute.Bar, 1e-9);
            Assert.Equal(gauge, absolute.ToGauge(around).Bar, 1e-9);
        });

    [Fact]
    public void No_operator_mixes_gauge_and_absolute()
    {
        string[] equality = ["op_Equality", "op_Inequality"];
        Assert.All([typeof(AbsolutePressure), typeof(GaugePressure)], type => Assert.All(
            type.GetMethods().Where(m => m.IsSpecialName && m.Name.StartsWith("op_", StringComparison.Ordinal)),
            m => Assert.Contains(m.Name, equality)));
    }

    [Fact]
    public void Units_are_those_of_the_SI_brochure()
    {
        Assert.Equal(100_000, AbsolutePressure.FromBar(1).Pascals);
        Assert.Equal(9_000_000, GaugePressure.FromBar(90).Pascals, 1e-6);
        Assert.Equal(293.15, GasTemperature.FromDegreesCelsius(20).Kelvins);
        Assert.Equal(-40.15, GasTemperature.FromKelvins(233).DegreesCelsius, 1e-12);
        Assert.Equal(0.05, GasVolume.FromLitres(50).CubicMetres);
        Assert.Equal(50, GasVolume.FromCubicMetres(0.05).Litres, 1e-12);
    }

    [Fact]
    public void Nitrogen_weighs_28_0134_grams_a_mole()
    {
        // Two atoms of standard atomic weight 14.0067 (IUPAC).
        Assert.Equal(2 * 14.0067, AmountOfGas.FromMoles(1).GramsOfNitrogen, 1e-12);
        Assert.Equal(1000 / (2 * 14.0067), AmountOfGas.FromKilogramsOfNitrogen(1).Moles, 1e-9);
        Assert.Equal(2, AmountOfGas.FromGramsOfNitrogen(4 * 14.0067).Moles, 1e-12);
    }

    /// <summary>Ideal molar volumes: 22.41397 l/mol at 0 degrees C and 1 atm (CODATA); 15 degrees C from the ratio of temperatures.</summary>
    [Fact]
    public void Standard_volumes_say_their_condition()
    {
        AmountOfGas mole = AmountOfGas.FromMoles(1);
        Assert.Equal(22.41397, mole.VolumeAt(StandardCondition.Din1343).Litres, 1e-5);
        Assert.Equal(22.41397 * 288.15 / 273.15, mole.VolumeAt(StandardCondition.Iso13443).Litres, 2e-5);
        Assert.Equal(22.41397 * 1.01325 * 293.15 / 273.15, mole.VolumeAt(StandardCondition.Iso8778).Litres, 2e-5);
        Assert.Contains("0 degrees C", StandardCondition.Din1343.Name, StringComparison.Ordinal);
    }

    public static TheoryData<string, Action> Impossible => new()
    {
        { "NaN Pa", () => AbsolutePressure.FromPascals(double.NaN) },
        { "-1 Pa", () => AbsolutePressure.FromPascals(-1) },
        { "-0.5 bar", () => AbsolutePressure.FromBar(-0.5) },
        { "20000 bar", () => AbsolutePressure.FromBar(20_000) },
        { "-1.3 bar", () => GaugePressure.FromBar(-1.3) },
        { "NaN bar", () => GaugePressure.FromBar(double.NaN) },
        { "Absolute pressure is -50000 Pa", () => GaugePressure.FromBar(-1).ToAbsolute(AbsolutePressure.FromBar(0.5)) },
        { "0 K", () => GasTemperature.FromKelvins(0) },
        { "-300 degrees C", () => GasTemperature.FromDegreesCelsius(-300) },
        { "NaN degrees C", () => GasTemperature.FromDegreesCelsius(double.NaN) },
        { "-1 litres", () => GasVolume.FromLitres(-1) },
        { "NaN m3", () => GasVolume.FromCubicMetres(double.NaN) },
        { "-1 mol", () => AmountOfGas.FromMoles(-1) },
        { "NaN kg", () => AmountOfGas.FromKilogramsOfNitrogen(double.NaN) },
        { "11001 m", () => StandardAtmosphere.AmbientAt(11_001) },
        { "NaN m", () => StandardAtmosphere.AmbientAt(double.NaN) },
    };

    [Theory]
    [MemberData(nameof(Impossible))]
    public void Impossible_values_are_refused_with_value_and_range(string says, Action make)
    {
        var error = Assert.Throws<ArgumentOutOfRangeException>(make);
        Assert.Contains(says, error.Message, StringComparison.Ordinal);
        Assert.Contains("ends included", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Ends_of_the_ranges_are_allowed()
    {
        Assert.Equal(0, AbsolutePressure.FromPascals(0).Pascals);
        Assert.Equal(1e9, AbsolutePressure.FromBar(10_000).Pascals);
        Assert.Equal(-120_000, GaugePressure.FromPascals(-120_000).Pascals);
        Assert.Equal(1, GasTemperature.FromKelvins(1).Kelvins);
        Assert.Equal(2000, GasTemperature.FromKelvins(2000).Kelvins);
    }

    [Fact]
    public void Texts_are_culture_invariant_and_say_gauge_or_absolute()
    {
        Assert.Equal("1.5 bar absolute", AbsolutePressure.FromBar(1.5).ToString());
        Assert.Equal("0.5 bar gauge", GaugePressure.FromBar(0.5).ToString());
        Assert.Equal("20 degrees C", GasTemperature.FromDegreesCelsius(20).ToString());
    }
}
