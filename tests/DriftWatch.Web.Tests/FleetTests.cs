using System.Globalization;
using DriftWatch.Host.Web.Fleet;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Prognosis;
using DriftWatch.Trends.Verdicts;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.WebUtilities;

namespace DriftWatch.Web.Tests;

/// <summary>Order, filters and table of a fleet of many vessels.</summary>
public sealed class FleetTests
{
    private static readonly DateTimeOffset AsOf = new(2026, 3, 1, 0, 0, 0, TimeSpan.Zero);

    /// <summary>Made before the fleet, which takes its model from it.</summary>
    private static readonly VesselRegister RegisterOfSamples =
        Host.Settings.RegisterFile.Open(Path.Combine(Repository.SampleStreams, "register.json"), TextWriter.Null)!;

    private static readonly FleetSnapshot Fleet = new(Rows(10_000));

    [Fact]
    public void What_needs_a_hand_stands_first_and_the_nearest_date_before_the_later()
    {
        IReadOnlyList<FleetRow> rows = Ask("").Select(Fleet);
        Assert.Equal(10_000, rows.Count);
        Assert.Equal(rows.Select(row => VerdictNames.UrgencyOf(row.Verdict)).Order(), rows.Select(row => VerdictNames.UrgencyOf(row.Verdict)));
        Assert.All(rows.Zip(rows.Skip(1)).Where(pair => VerdictNames.UrgencyOf(pair.First.Verdict) == VerdictNames.UrgencyOf(pair.Second.Verdict) && pair.First.Verdict != Verdict.BelowLowerLimit), pair => Assert.True(
            (pair.First.Assessment?.Forecast?.Earliest ?? DateTimeOffset.MaxValue) <= (pair.Second.Assessment?.Forecast?.Earliest ?? DateTimeOffset.MaxValue)));
        Assert.Equal(rows.Count(row => row.NeedsAHand), Fleet.NeedAHand);
        double[] left = [.. rows.Where(row => row.Verdict == Verdict.BelowLowerLimit).Select(row => row.PercentOfNominal!.Value)];
        Assert.Equal(left.Order(), left);
    }

    [Fact]
    public void All_words_of_a_search_must_be_there_in_any_case_and_order() =>
        Assert.Equal(["V00042"], Ask("q=HALL v00042").Select(Fleet).Select(row => row.Vessel.Id));

    [Fact]
    public void Filters_add_up()
    {
        IReadOnlyList<FleetRow> rows = Ask("verdict=noWindowTooLong&place=Hall 3").Select(Fleet);
        Assert.NotEmpty(rows);
        Assert.All(rows, row => Assert.True(row.Verdict == Verdict.NoWindowTooLong && row.Vessel.Place == "Hall 3"));
        Assert.Equal(Fleet.NeedAHand, Ask("verdict=hand").Select(Fleet).Count);
    }

    [Fact]
    public void Places_kept_together_stand_in_the_order_of_their_first_vessel()
    {
        string[] places = [.. Ask("group=place").Select(Fleet).Select(row => row.Vessel.Place)];
        string[] runs = [.. places.Where((place, index) => index == 0 || places[index - 1] != place)];
        Assert.Equal(places.Distinct(), runs);
        Assert.Equal(Ask("").Select(Fleet).Select(row => row.Vessel.Place).Distinct(), runs);
    }

    [Fact]
    public void An_address_made_from_a_query_reads_back_as_the_same_query()
    {
        foreach (string text in (string[])["", "q=a%20%26b&verdict=hand&sort=age&group=place&page=7&size=20", "verdict=belowLowerLimit&place=Hall%201"])
        {
            FleetQuery query = Ask(Uri.UnescapeDataString(text).Replace("&b", "%26b", StringComparison.Ordinal));
            string address = query.Address("/");
            Assert.Equal(query, Ask(address.Contains('?', StringComparison.Ordinal) ? address[(address.IndexOf('?', StringComparison.Ordinal) + 1)..] : ""));
        }
    }

    [Fact]
    public void A_table_cell_that_a_spreadsheet_would_run_stays_text()
    {
        Vessel vessel = Rows(1).Single().Vessel with { Description = "=HYPERLINK(\"x\")", Place = "Hall, left" };
        string line = FleetCsv.Write([new FleetRow(vessel, null)]).Split("\r\n")[1];
        Assert.StartsWith("V00000,\"'=HYPERLINK(\"\"x\"\")\",\"Hall, left\",notKnownYet,", line, StringComparison.Ordinal);
    }

    /// <summary>Below the limit with or without a trend now, above it never; the cautions on each row that asks for work.</summary>
    [Theory]
    [InlineData(Verdict.BelowLowerLimit, 0, true)]
    [InlineData(Verdict.FallingFasterThanAllowed, null, true)]
    [InlineData(Verdict.AboveUpperLimit, null, true)]
    [InlineData(Verdict.NoWindowTooLong, null, true)]
    [InlineData(Verdict.WithinLimits, null, false)]
    [InlineData(Verdict.NotKnownYet, null, false)]
    public void A_row_that_needs_a_hand_has_the_cautions_and_one_below_its_limit_a_recharge_now(Verdict verdict, int? days, bool cautions)
    {
        FleetRow model = Rows(1).Single();
        var row = new FleetRow(model.Vessel, model.Assessment! with
        {
            Verdict = verdict,
            Forecast = new CrossingForecast(null, AsOf.AddDays(60), null) { RecommendedRecharge = verdict == Verdict.NotKnownYet ? null : AsOf.AddDays(53) },
        });
        Assert.Equal(days is { } after ? AsOf.AddDays(after) : null, row.RecommendedRecharge);
        Assert.Equal(cautions, row.AsksForWork);
        Assert.Equal(cautions, FleetCsv.Write([row]).Contains("nitrogen only", StringComparison.Ordinal));
    }

    [Fact]
    public void Numbers_in_the_table_are_those_of_the_assessment_whatever_the_culture()
    {
        CultureInfo before = CultureInfo.CurrentCulture;
        try
        {
            CultureInfo.CurrentCulture = CultureInfo.GetCultureInfo("de-DE");
            FleetRow row = Rows(1).Single();
            string[] lines = FleetCsv.Write([new FleetRow(row.Vessel with { Description = "without a comma" }, row.Assessment)]).Split("\r\n");
            var cells = lines[0].Split(',').Zip(lines[1].Split(',')).ToDictionary(pair => pair.First, pair => pair.Second);

            // 95.5 bar absolute less 0.98 bar of air is 94.52 bar gauge, of 100 bar nominal; k = 2 times 0.2 bar.
            Assert.Equal("94.52", cells["precharge_bar_gauge"]);
            Assert.Equal("94.52", cells["precharge_percent_of_nominal"]);
            Assert.Equal("0.4", cells["precharge_expanded_uncertainty_bar"]);
            Assert.Equal("2026-03-01T00:00:00Z", cells["as_of_utc"]);
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }

    internal static FleetQuery Ask(string query)
    {
        Assert.True(FleetQuery.TryRead(new QueryCollection(QueryHelpers.ParseQuery(query)), out FleetQuery? read, out Dictionary<string, string[]> faults), string.Join(' ', faults.Values.SelectMany(fault => fault)));
        return read;
    }

    /// <summary>Vessels of a made-up plant, their verdicts and dates spread evenly.</summary>
    internal static IEnumerable<FleetRow> Rows(int count)
    {
        Vessel model = RegisterOfSamples.Find("PR1-A1")!;
        model = model with { Specification = model.Specification with { Ambient = Gas.Quantities.AbsolutePressure.FromPascals(0.98e5) } };
        Verdict[] verdicts = Enum.GetValues<Verdict>();
        for (int number = 0; number < count; number++)
        {
            yield return new FleetRow(
                model with { Id = $"V{number:00000}", Place = $"Hall {number % 40}" },
                new Assessment
                {
                    AsOf = AsOf,
                    Verdict = verdicts[number * 7 % verdicts.Length],
                    Reason = "made up",
                    LastWindow = AsOf.AddHours(-number),
                    PrechargePa = 95.5e5 + number,
                    PrechargeUncertaintyPa = 0.2e5,
                    Forecast = new CrossingForecast(null, number % 3 == 0 ? null : AsOf.AddDays(number * 31 % 1000), null),
                });
        }
    }
}
