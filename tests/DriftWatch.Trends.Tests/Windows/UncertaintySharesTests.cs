using System.Text.Json;
using DriftWatch.Gas.Uncertainty;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Tests.Windows;

public class UncertaintySharesTests
{
    /// <summary>Variances 9, 4, 1 and 2 of 16.</summary>
    private static readonly UncertaintyBudget Budget = new(100, "Pa",
    [
        Line("Equation of state", 1, Sharing.Shared),
        Line("Weather", 3, Sharing.Random),
        Line("Pressure sensor offset", 2, Sharing.Shared),
        Line("Settling", Math.Sqrt(2), Sharing.Random),
    ]);

    [Fact]
    public void The_greatest_comes_first_with_its_kind() => Assert.Equal(
        [
            new UncertaintyShare("Weather", Sharing.Random, 0.562),
            new UncertaintyShare("Pressure sensor offset", Sharing.Shared, 0.25),
            new UncertaintyShare("Settling", Sharing.Random, 0.125),
            new UncertaintyShare("Equation of state", Sharing.Shared, 0.062),
        ],
        UncertaintyShares.Of(Budget).Greatest);

    [Fact]
    public void Stored_and_read_they_are_the_same()
    {
        PrechargeWindow window = Make.Window(1, 100) with { Shares = UncertaintyShares.Of(Budget) };
        string text = JsonSerializer.Serialize(window, Json);
        Assert.Contains("\"Shares\":[0,0,562,0,0,125,250,0,62]", text, StringComparison.Ordinal);
        Assert.Equal(window, JsonSerializer.Deserialize<PrechargeWindow>(text, Json));
    }

    [Fact]
    public void A_window_stored_before_shares_were_kept_still_reads()
    {
        string text = JsonSerializer.Serialize(Make.Window(1, 100), Json).Replace(",\"Shares\":[]", "", StringComparison.Ordinal);
        Assert.DoesNotContain("Shares", text, StringComparison.Ordinal);
        PrechargeWindow window = JsonSerializer.Deserialize<PrechargeWindow>(text, Json)!;
        Assert.Equal(Make.Window(1, 100), window);
        Assert.Empty(window.Shares.Greatest);
    }

    [Fact]
    public void An_unknown_contributor_is_refused_by_name() => Assert.Contains(
        "'Moon'", Assert.Throws<ArgumentException>(() => UncertaintyShares.Of(new UncertaintyBudget(1, "Pa", [Line("Moon", 1, Sharing.Random)]))).Message,
        StringComparison.Ordinal);

    private static JsonSerializerOptions Json { get; } = new()
    {
        NumberHandling = System.Text.Json.Serialization.JsonNumberHandling.AllowNamedFloatingPointLiterals,
    };

    private static UncertaintyContributor Line(string name, double pascals, Sharing sharing) =>
        new(name, 1, InputUncertainty.FromStandard(pascals), "Pa", sharing);
}
