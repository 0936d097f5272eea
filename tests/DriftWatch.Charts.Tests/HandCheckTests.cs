using System.Globalization;
using System.Xml.Linq;
using DriftWatch.Gas.Quantities;
using DriftWatch.Trends.Inspection;

namespace DriftWatch.Charts.Tests;

/// <summary>Checks by hand are points of their own on the trend.</summary>
public sealed class HandCheckTests
{
    [Fact]
    public void A_check_with_values_is_drawn_and_named_in_the_key_and_one_without_is_not()
    {
        ChartCase made = ChartCase.SlowLeak();
        DateTimeOffset at = ChartCase.Start.AddDays(100);
        ChartCase with = made with
        {
            Vessel = made.Vessel with
            {
                RecordedChecks =
                [
                    new PrechargeCheck(at.AddDays(-20), null, null),
                    new PrechargeCheck(at, GaugePressure.FromBar(101), GasTemperature.FromDegreesCelsius(20)),
                ],
            },
        };
        Assert.DoesNotContain("check by hand", Words(made), StringComparison.Ordinal);
        Assert.Contains("check by hand, bar: 95 % (1)", Words(with), StringComparison.Ordinal);
        Assert.NotEqual(made.Chart().ToPng(), with.Chart().ToPng());
    }

    private static string Words(ChartCase made) => string.Join(
        '\n', XDocument.Parse(made.Chart().ToSvg()).Descendants().Where(element => element.Name.LocalName == "text").Select(text => text.Value.ToString(CultureInfo.InvariantCulture)));
}
