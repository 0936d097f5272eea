using System.Globalization;
using DriftWatch.Gas.Units;
using DriftWatch.Host.Web.Fleet;
using DriftWatch.Host.Web.Readers;
using DriftWatch.Host.Web.Vessels;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Web.Tests;

/// <summary>What is said of the limits of an answer.</summary>
public sealed class AnswerLimitsTests
{
    private static readonly ReaderFormat Format = new(CultureInfo.InvariantCulture, PressureUnit.Bar);

    private static readonly FleetRow Model = FleetTests.Rows(1).Single();

    private static Vessel Vessel => Model.Vessel;

    [Fact]
    public void Without_a_reading_it_sends_the_reader_to_the_sources() =>
        Assert.Contains("sources", Assert.Single(AnswerLimits.Of(Vessel, [], null, Format)), StringComparison.Ordinal);

    [Theory]
    [InlineData(1, "1 point;", "2 more windows ")]
    [InlineData(2, "2 points;", "1 more window ")]
    public void Missing_points_are_counted(int points, string has, string missing)
    {
        string text = string.Join(' ', AnswerLimits.Of(Vessel, [], Model.Assessment! with { PointCount = points }, Format));
        Assert.Contains(has, text, StringComparison.Ordinal);
        Assert.Contains(missing, text, StringComparison.Ordinal);
    }

    [Fact]
    public void The_time_until_the_rate_is_sharp_enough_follows_from_the_span()
    {
        // Evenly spaced points: u(slope) = s / (T sqrt(n/12)) and n = rate x T, so u goes with T^-3/2. A half-width of eight times the
        // allowed rate after 30 days comes down to it at 30 x 8^(2/3) = 120 days: 90 more.
        double allowed = Vessel.Specification.AllowedLossPaPerSecond;
        string text = string.Join(' ', AnswerLimits.Of(Vessel, [], With(8 * allowed), Format));
        Assert.Contains("30 days", text, StringComparison.Ordinal);
        Assert.Contains("some 90 days more", text, StringComparison.Ordinal);
        Assert.DoesNotContain("more would narrow", string.Join(' ', AnswerLimits.Of(Vessel, [], With(0.9 * allowed), Format)), StringComparison.Ordinal);
    }

    private static Assessment With(double halfPaPerSecond)
    {
        DateTimeOffset end = Model.Assessment!.AsOf;
        return Model.Assessment with
        {
            PointCount = 10,
            Fit = new TrendFit
            {
                Origin = end.AddDays(-15),
                LevelPa = 95.5e5,
                SlopePaPerSecond = 0,
                LevelRandomUncertaintyPa = 1000,
                SharedUncertaintyPa = 1000,
                SlopeUncertaintyPaPerSecond = halfPaPerSecond / 2,
                CoverageFactor95 = 2,
                PointCount = 10,
                DegreesOfFreedom = 8,
                FirstPoint = end.AddDays(-30),
                LastPoint = end,
                SequentialSlopeLowPaPerSecond = double.NegativeInfinity,
                SequentialSlopeHighPaPerSecond = double.PositiveInfinity,
            },
        };
    }
}
