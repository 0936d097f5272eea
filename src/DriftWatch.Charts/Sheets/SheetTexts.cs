using System.Globalization;
using DriftWatch.Charts.Content;
using DriftWatch.Gas.Quantities;
using DriftWatch.Gas.Units;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Priorities;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Charts.Sheets;

/// <summary>Numbers, dates and names as a sheet writes them.</summary>
internal sealed class SheetTexts(PressureUnit unit)
{
    private readonly PressureScale _scale = new(unit);

    public PressureUnit Unit => unit;

    public string Gauge(double pascals) => $"{_scale.Number(pascals)} {_scale.Symbol} gauge";

    public string Chosen(GaugePressure pressure) => $"{_scale.Text(_scale.FromPascals(pressure.Pascals))} gauge";

    /// <summary>A precharge in a column whose head has the unit.</summary>
    public string Number(double pascals) => _scale.Number(pascals);

    public string Head(string name) => $"{name}, {_scale.Symbol} gauge";

    /// <summary>The precharge with its expanded uncertainty; null where neither a window nor a check has shown one.</summary>
    public string? Level(VesselSpecification vessel, Assessment? now) =>
        now is { PrechargePa: { } level, PrechargeUncertaintyPa: { } uncertainty }
            ? $"{_scale.Number(level - vessel.Ambient.Pascals)} ± {Small(CoverageFactor.Expanded * uncertainty)} gauge"
            : null;

    public string Small(double pascals) => $"{_scale.Number(Math.Max(pascals, unit.SmallestShownPa))} {_scale.Symbol}";

    /// <summary>The loss with its 95 % interval; null without a line.</summary>
    public string? Loss(Assessment? now) => now?.Fit is { } fit
        ? $"{Signed(_scale.RateWithHalfWidth(-fit.SlopeNowPaPerSecond() * LossRate.SecondsPerMonth, fit.SlopeNowHalfWidthPaPerSecond() * LossRate.SecondsPerMonth))} {_scale.Symbol}/month"
        : null;

    public string Allowed(VesselSpecification vessel) =>
        $"{_scale.Rate(vessel.AllowedLossPaPerSecond * LossRate.SecondsPerMonth)} {_scale.Symbol}/month";

    /// <summary>A sentence that was kept as it was said, in bar.</summary>
    public string Kept(string text) => Signed(StoredSentence.In(text, unit));

    public static string Signed(string text) => text.Replace("+-", "±", StringComparison.Ordinal);

    public static string Celsius(GasTemperature temperature) => ChartTexts.Celsius(temperature);

    public static string Celsius(double celsius) => $"{celsius.ToString("0.#", CultureInfo.InvariantCulture)} °C";

    public static string Day(DateTimeOffset instant) => DayText.Of(instant);

    public static string Day(DateTimeOffset? instant, string otherwise) => DayText.Of(instant, otherwise);

    public static string Moment(DateTimeOffset instant) => instant.UtcDateTime.ToString("yyyy-MM-dd HH:mm 'UTC'", CultureInfo.InvariantCulture);

    public static string Number(double value, string format, string unit) => $"{value.ToString(format, CultureInfo.InvariantCulture)} {unit}";

    public static string Name(JobCause cause) => cause switch
    {
        JobCause.FallingFasterThanAllowed => VerdictNames.NameOf(Verdict.FallingFasterThanAllowed),
        JobCause.BelowLowerLimit => VerdictNames.NameOf(Verdict.BelowLowerLimit),
        JobCause.AboveUpperLimit => VerdictNames.NameOf(Verdict.AboveUpperLimit),
        JobCause.NoWindowTooLong => VerdictNames.NameOf(Verdict.NoWindowTooLong),
        JobCause.TransducerDrift => "pressure transducer drifts",
        _ => throw new ArgumentOutOfRangeException(nameof(cause), cause, "The sheet has no words for this cause."),
    };

    public static string Name(Priority priority) => priority switch
    {
        Priority.High => "high: before all else",
        Priority.Medium => "medium: before the ordinary work",
        _ => "low: with the ordinary work",
    };

    public static string Name(JobEnd? end) => end switch
    {
        null => "open",
        JobEnd.Charged => "charged or bled",
        JobEnd.Checked => "checked",
        JobEnd.CauseEnded => "cause ended",
        JobEnd.Superseded => "taken over by a graver job",
        JobEnd.Withdrawn => "withdrawn",
        JobEnd.Declined => "declined",
        _ => end.Value.ToString(),
    };
}
