using System.Globalization;
using System.Text;
using DriftWatch.Plant.Safety;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Host.Web.Fleet;

/// <summary>The fleet as a table for a spreadsheet (RFC 4180): culture-invariant, units in the heads, SI and bar.</summary>
internal static class FleetCsv
{
    private const string Heads =
        "vessel,description,place,verdict,as_of_utc,precharge_bar_gauge,precharge_expanded_uncertainty_bar,precharge_percent_of_nominal,nominal_bar_gauge,lower_limit_bar_gauge,upper_limit_bar_gauge,loss_bar_per_month,loss_half_width_95_bar_per_month,allowed_loss_bar_per_month,earliest_at_lower_limit_utc,recommended_recharge_utc,lost_usable_volume_litres,lost_usable_volume_percent,lost_usable_volume_at_lower_limit_percent,last_window_utc,reason,cautions";

    private static readonly string Cautions = string.Join(" ", SafetyLines.All);

    public static string Write(IEnumerable<FleetRow> rows)
    {
        var table = new StringBuilder(Heads).Append("\r\n");
        foreach (FleetRow row in rows)
        {
            table.AppendJoin(',', Cells(row)).Append("\r\n");
        }

        return table.ToString();
    }

    private static IEnumerable<string> Cells(FleetRow row)
    {
        Trends.Vessels.VesselSpecification specification = row.Vessel.Specification;
        yield return Text(row.Vessel.Id);
        yield return Text(row.Vessel.Description);
        yield return Text(row.Vessel.Place);
        yield return FleetQuery.Name(row.Verdict);
        yield return Instant(row.Assessment?.AsOf);
        yield return Number(row.GaugePa / 1e5, "0.####");
        yield return Number(row.GaugeHalfPa / 1e5, "0.####");
        yield return Number(row.PercentOfNominal, "0.###");
        yield return Number(specification.NominalPrecharge.Bar, "0.####");
        yield return Number(specification.LowerLimit.Bar, "0.####");
        yield return Number(specification.UpperLimit.Bar, "0.####");
        yield return Number(row.LossPaPerMonth / 1e5, "0.#####");
        yield return Number(row.LossHalfPaPerMonth / 1e5, "0.#####");
        yield return Number(specification.AllowedLossPaPerSecond * LossRate.SecondsPerMonth / 1e5, "0.#####");
        yield return Instant(row.Earliest);
        yield return Instant(row.RecommendedRecharge);
        yield return Number(row.LostUsableVolume?.Litres, "0.###");
        yield return Number(100 * row.LostUsableVolume?.Share, "0.##");
        yield return Number(100 * row.LossAtLowerLimit?.Share, "0.##");
        yield return Instant(row.LastWindow);
        yield return Text(row.Assessment?.Reason ?? "");
        yield return row.AsksForWork ? Text(Cautions) : "";
    }

    private static string Number(double? value, string format) => value is { } number && double.IsFinite(number) ? number.ToString(format, CultureInfo.InvariantCulture) : "";

    private static string Instant(DateTimeOffset? instant) =>
        instant?.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture) ?? "";

    /// <summary>Quoted where need be. A text that a spreadsheet would run as a formula is kept a text by an apostrophe.</summary>
    private static string Text(string text)
    {
        string safe = text.Length > 0 && text[0] is ('=' or '+' or '-' or '@' or '\t' or '\r') ? "'" + text : text;
        return safe.AsSpan().IndexOfAny("\",\r\n") >= 0 ? $"\"{safe.Replace("\"", "\"\"", StringComparison.Ordinal)}\"" : safe;
    }
}
