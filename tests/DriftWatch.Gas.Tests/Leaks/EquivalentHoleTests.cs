using CsCheck;
using DriftWatch.Gas.Leaks;
using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Tests.Leaks;

public class EquivalentHoleTests
{
    private static readonly GasTemperature Twenty = GasTemperature.FromDegreesCelsius(20);
    private static readonly AbsolutePressure Ambient = AbsolutePressure.FromBar(1);

    /// <summary>
    /// Second route: choked flow of air is 0.0404 p A / sqrt(T) kg/s (SI; handbooks of compressible flow, from memory), of nitrogen more by
    /// the root of the molar masses 28.0134 and 28.965.
    /// </summary>
    [Fact]
    public void Agrees_with_the_choked_flow_of_the_handbooks()
    {
        // 1 mm2 at 100 bar and 293.15 K.
        double kilograms = 0.0404 * Math.Sqrt(28.0134 / 28.965) * 1e7 * 1e-6 / Math.Sqrt(293.15);
        LeakRate rate = LeakRate.FromMolesPerSecond(kilograms / 0.0280134);
        double diameter = EquivalentHole.DiameterM(rate, AbsolutePressure.FromBar(100), Twenty, Ambient);
        Assert.Equal(Math.Sqrt(4e-6 / Math.PI), diameter, 2e-6);
        Assert.Equal(1.893, EquivalentHole.ChokedPressureRatio, 5e-4);
        Assert.Equal("order of magnitude", EquivalentHole.Label);
    }

    [Fact]
    public void Four_times_the_leak_is_twice_the_hole() => Gen.Select(Gen.Double[1e-9, 1], Gen.Double[5, 300]).Sample((rate, bar) =>
    {
        AbsolutePressure gas = AbsolutePressure.FromBar(bar);
        double one = EquivalentHole.DiameterM(LeakRate.FromMolesPerSecond(rate), gas, Twenty, Ambient);
        double four = EquivalentHole.DiameterM(LeakRate.FromMolesPerSecond(4 * rate), gas, Twenty, Ambient);
        Assert.Equal(2 * one, four, 1e-12 * four);
    });

    [Fact]
    public void Refuses_what_is_not_choked_or_no_leak()
    {
        LeakRate rate = LeakRate.FromMolesPerSecond(1e-6);
        Assert.Contains("1.893", Assert.Throws<ArgumentOutOfRangeException>(
            () => EquivalentHole.DiameterM(rate, AbsolutePressure.FromBar(1.8), Twenty, Ambient)).Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentOutOfRangeException>(() => EquivalentHole.DiameterM(default, AbsolutePressure.FromBar(90), Twenty, Ambient));
        Assert.Throws<ArgumentOutOfRangeException>(() => EquivalentHole.DiameterM(rate, AbsolutePressure.FromBar(90), default, Ambient));
        Assert.Throws<ArgumentOutOfRangeException>(() => EquivalentHole.DiameterM(rate, default, Twenty, default));
    }
}
