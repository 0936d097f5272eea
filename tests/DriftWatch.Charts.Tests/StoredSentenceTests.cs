using DriftWatch.Gas.Units;

namespace DriftWatch.Charts.Tests;

public sealed class StoredSentenceTests
{
    /// <summary>1 bar = 14.50377 psi (1 psi = 6894.757 Pa, NIST SP 811, appendix B).</summary>
    [Theory]
    [InlineData("Precharge 52.0 +- 0.5 bar gauge is below the lower limit of 60.0 bar.", "psi", "Precharge 754 +- 7 psi gauge is below the lower limit of 870 psi.")]
    [InlineData("Precharge 51.96 +- 0.50 bar gauge is below the lower limit of 52.00 bar.", "psi", "Precharge 753.6 +- 7.3 psi gauge is below the lower limit of 754.2 psi.")]
    [InlineData("Loss 2.70 +- 0.12 bar/month (4.50 %/month) over 12 points, above the allowed 0.61 bar/month.", "psi", "Loss 39.2 +- 1.7 psi/month (4.50 %/month) over 12 points, above the allowed 8.8 psi/month.")]
    [InlineData("95 % interval 0.100 to 0.200 bar/month", "MPa", "95 % interval 0.0100 to 0.0200 MPa/month")]
    [InlineData("limits 52.0 to 63.0 bar gauge at 20 degrees C", "kPa", "limits 5200 to 6300 kPa gauge at 20 degrees C")]
    [InlineData("Transducer minus hand -4.0 bar on 2026-01-05; a bottle of 50 litres at 200 bar, one after the other", "psi", "Transducer minus hand -58 psi on 2026-01-05; a bottle of 50 litres at 2901 psi, one after the other")]
    [InlineData("0.02 bar/K are left over; 10 (bar and MPa); unit 4 barrels; V1.2 bar", "psi", "0.02 bar/K are left over; 10 (bar and MPa); unit 4 barrels; V1.2 bar")]
    [InlineData("Precharge 52.0 bar gauge", "bar", "Precharge 52.0 bar gauge")]
    public void Figures_in_bar_are_said_in_the_readers_unit_to_what_their_digits_are_worth(string text, string unit, string expected) =>
        Assert.Equal(expected, StoredSentence.In(text, PressureUnit.FromSymbol(unit)));
}
