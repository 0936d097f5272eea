using System.Globalization;
using System.Text.RegularExpressions;
using DriftWatch.Charts;
using DriftWatch.Gas.Quantities;
using DriftWatch.Gas.Units;
using DriftWatch.Trends.Verdicts;
using Microsoft.AspNetCore.Http;
using Microsoft.Net.Http.Headers;

namespace DriftWatch.Host.Web.Readers;

/// <summary>Numbers, dates and units as the reader of a page writes them. No number leaves it without its unit.</summary>
public sealed partial class ReaderFormat
{
    /// <summary>Cookie that keeps the reader's unit.</summary>
    public const string UnitCookie = "driftwatch-unit";

    private const int MostLanguages = 8;

    private const double DaysOfYear = 365.25;

    private readonly CultureInfo _culture;
    private readonly string _datePattern;
    private readonly PressureScale _scale;

    public ReaderFormat(CultureInfo culture, PressureUnit unit)
    {
        _culture = WithGregorianCalendar(culture);
        _scale = new PressureScale(unit);

        // Two digits of a year are too few for a forecast.
        string pattern = _culture.DateTimeFormat.ShortDatePattern;
        _datePattern = _culture.Equals(CultureInfo.InvariantCulture) ? "yyyy-MM-dd"
            : pattern.Contains("yyyy", StringComparison.Ordinal) ? pattern
            : pattern.Replace("yy", "yyyy", StringComparison.Ordinal);
    }

    /// <summary>Unit of pressure.</summary>
    public PressureUnit Unit => _scale.Unit;

    /// <summary>The format that a request asks for: its languages, its chosen unit.</summary>
    public static ReaderFormat Of(HttpRequest request, PressureUnit fallback)
    {
        string? symbol = request.Query["unit"].FirstOrDefault() ?? request.Cookies[UnitCookie];
        PressureUnit unit = PressureUnit.All.FirstOrDefault(known => known.Symbol == symbol) ?? fallback;
        return new ReaderFormat(CultureOf(request), unit);
    }

    /// <summary>Gauge pressure, from Pa.</summary>
    public string Gauge(double pascals) => $"{Local(_scale.Number(pascals))} {_scale.Symbol}";

    /// <summary>Gauge pressure with the half-width of its interval, both from Pa.</summary>
    public string Gauge(double pascals, double halfPascals) =>
        $"{Local(_scale.Number(pascals))} ± {Local(_scale.Number(Math.Max(halfPascals, _scale.Unit.SmallestShownPa)))} {_scale.Symbol}";

    /// <summary>A limit or nominal pressure that people chose, from Pa.</summary>
    public string Chosen(double pascals) => Local(_scale.Text(_scale.FromPascals(pascals)));

    /// <summary>A small pressure difference (an uncertainty), from Pa, to three significant digits.</summary>
    public string Small(double pascals)
    {
        double value = _scale.FromPascals(pascals);
        int decimals = value != 0 ? (int)Math.Clamp(2 - Math.Floor(Math.Log10(Math.Abs(value))), 0, 6) : 0;
        return $"{value.ToString("F" + decimals.ToString(CultureInfo.InvariantCulture), _culture)} {_scale.Symbol}";
    }

    /// <summary>A loss rate, from Pa a month.</summary>
    public string Rate(double pascals) => $"{Local(_scale.Rate(pascals))} {_scale.Symbol}/month";

    /// <summary>A loss rate with the half-width of its interval, from Pa a month.</summary>
    public string Rate(double pascals, double halfPascals) =>
        double.IsFinite(halfPascals)
            ? $"{Local(_scale.RateWithHalfWidth(pascals, halfPascals)).Replace("+-", "±", StringComparison.Ordinal)} {_scale.Symbol}/month"
            : Rate(pascals);

    /// <summary>A share in percent.</summary>
    public string Percent(double percent) => $"{percent.ToString("0.0", _culture)} %";

    /// <summary>A share in percent with the half-width of its interval.</summary>
    public string Percent(double percent, double half) =>
        $"{percent.ToString("0.0", _culture)} ± {Math.Max(half, 0.1).ToString("0.0", _culture)} %";

    /// <summary>A temperature, from K.</summary>
    public string Temperature(double kelvins) => $"{(kelvins - GasTemperature.IcePointKelvins).ToString("0.0", _culture)} °C";

    /// <summary>A temperature difference, K.</summary>
    public string Kelvin(double kelvins) => $"{kelvins.ToString("0.0", _culture)} K";

    /// <summary>A plain number in a format, with the unit that follows it.</summary>
    public string Number(double value, string format, string unit) => $"{value.ToString(format, _culture)} {unit}";

    /// <summary>A number beside an axis, which has the unit.</summary>
    public string Tick(double value, int decimals)
    {
        // A rounded zero has no sign.
        double rounded = Math.Round(value, decimals);
        return (rounded == 0 ? 0 : rounded).ToString("F" + decimals.ToString(CultureInfo.InvariantCulture), _culture);
    }

    /// <summary>A whole number.</summary>
    public string Count(long count) => count.ToString("N0", _culture);

    /// <summary>A day, UTC.</summary>
    public string Date(DateTimeOffset instant) => instant.UtcDateTime.ToString(_datePattern, _culture);

    /// <summary>A moment to the minute, UTC.</summary>
    public string Moment(DateTimeOffset instant) => $"{Date(instant)} {instant.UtcDateTime.ToString("HH:mm", _culture)} UTC";

    /// <summary>How long ago, or how long something lasted.</summary>
    public string Span(TimeSpan span) => span switch
    {
        { TotalDays: >= 2 * DaysOfYear } => $"{(span.TotalDays / DaysOfYear).ToString("0.0", _culture)} years",
        { TotalDays: >= 2 } => $"{span.TotalDays.ToString("N0", _culture)} days",
        { TotalHours: >= 2 } => $"{span.TotalHours.ToString("0", _culture)} h",
        { TotalMinutes: >= 2 } => $"{span.TotalMinutes.ToString("0", _culture)} min",
        _ => $"{Math.Max(0, span.TotalSeconds).ToString("0", _culture)} s",
    };

    /// <summary>Nitrogen by mass and by volume at the standard condition of DIN 1343, each to three digits: a small vessel's few grams are not nothing.</summary>
    public string Nitrogen(double kilograms, double standardLitres) =>
        $"{Local(UnitWords.ThreeDigits(kilograms))} kg, {Local(UnitWords.ThreeDigits(standardLitres))} standard litres (0 °C, {Number(101.325, "0.000", "kPa")})";

    /// <summary>A sentence of the program's own, kept in bar and culture-invariant or said in the reader's unit, as its reader writes numbers and dates.</summary>
    public string Sentence(string text) => Days().Replace(
        Decimals().Replace(StoredSentence.In(text, Unit).Replace("+-", "±", StringComparison.Ordinal), number => Local(number.Value)),
        day => DateTimeOffset.TryParseExact(day.Value, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out DateTimeOffset read)
            ? Date(read)
            : day.Value);

    /// <summary>A number with decimals, not a part of a name or of a longer number.</summary>
    [GeneratedRegex(@"(?<![\w.])(?<!\w-)\d+\.\d+(?!\w|\.\d)", RegexOptions.CultureInvariant)]
    private static partial Regex Decimals();

    /// <summary>A date that stands by itself, not a part of an instant.</summary>
    [GeneratedRegex(@"(?<![\w/-])\d{4}-\d{2}-\d{2}(?![\w/-])", RegexOptions.CultureInvariant)]
    private static partial Regex Days();

    private string Local(string invariant) => invariant.Replace(".", _culture.NumberFormat.NumberDecimalSeparator, StringComparison.Ordinal);

    private static CultureInfo CultureOf(HttpRequest request)
    {
        if (!StringWithQualityHeaderValue.TryParseList([.. request.Headers.AcceptLanguage.OfType<string>()], out IList<StringWithQualityHeaderValue>? languages))
        {
            return CultureInfo.InvariantCulture;
        }

        foreach (StringWithQualityHeaderValue language in languages.OrderByDescending(language => language.Quality ?? 1).Take(MostLanguages))
        {
            try
            {
                return CultureInfo.GetCultureInfo(language.Value.ToString(), predefinedOnly: true);
            }
            catch (CultureNotFoundException)
            {
                // The next one may be known.
            }
        }

        return CultureInfo.InvariantCulture;
    }

    /// <summary>Plant records are kept by the Gregorian calendar; some others also end before a forecast does.</summary>
    private static CultureInfo WithGregorianCalendar(CultureInfo culture)
    {
        if (culture.Calendar is GregorianCalendar)
        {
            return culture;
        }

        if (culture.OptionalCalendars.OfType<GregorianCalendar>().FirstOrDefault() is not { } gregorian)
        {
            return CultureInfo.InvariantCulture;
        }

        var own = (CultureInfo)culture.Clone();
        own.DateTimeFormat.Calendar = gregorian;
        return own;
    }
}
