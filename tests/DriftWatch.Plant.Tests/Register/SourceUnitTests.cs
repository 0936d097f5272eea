using DriftWatch.Plant.Register;

namespace DriftWatch.Plant.Tests.Register;

public class SourceUnitTests
{
    /// <summary>NIST Special Publication 811 (2008), appendix B: psi 6.894757 E+03 Pa, bar 1.0 E+05 Pa, and the temperature formulas.</summary>
    [Theory]
    [InlineData("psi", 1, 6894.757, 5e-4)]
    [InlineData("bar", 1, 1e5, 0)]
    [InlineData("kPa", 1, 1e3, 0)]
    [InlineData("MPa", 1, 1e6, 0)]
    [InlineData("hPa", 1, 100, 0)]
    [InlineData("Pa", 1, 1, 0)]
    [InlineData("Cel", 20, 293.15, 0)]
    [InlineData("K", 20, 20, 0)]
    [InlineData("degF", 32, 273.15, 1e-9)]
    [InlineData("degF", 212, 373.15, 1e-9)]
    public void Converts(string symbol, double number, double si, double tolerance)
    {
        Assert.True(SourceUnit.TryFind(symbol, out SourceUnit? unit));
        Assert.InRange(unit.ToSi(number), si - tolerance, si + tolerance);
    }

    [Theory]
    [InlineData("BAR")]
    [InlineData("C")]
    [InlineData("")]
    public void Unknown_symbols_are_not_found(string symbol) => Assert.False(SourceUnit.TryFind(symbol, out _));
}
