using System.Globalization;
using DriftWatch.Gas.Units;
using DriftWatch.Host.Web.Readers;
using Microsoft.AspNetCore.Http;

namespace DriftWatch.Web.Tests;

/// <summary>Numbers and dates as their reader writes them.</summary>
public sealed class ReaderFormatTests
{
    private static readonly DateTimeOffset Instant = new(2026, 3, 4, 5, 6, 7, TimeSpan.Zero);

    [Theory]
    [InlineData("en-GB", "92.9 ± 0.5 bar", "04/03/2026")]
    [InlineData("en-US,en;q=0.9", "92.9 ± 0.5 bar", "3/4/2026")]
    [InlineData("xx-nowhere, de-DE;q=0.8, en;q=0.5", "92,9 ± 0,5 bar", "04.03.2026")]
    [InlineData("fr;q=0.2, sv-SE", "92,9 ± 0,5 bar", "2026-03-04")]
    [InlineData("", "92.9 ± 0.5 bar", "2026-03-04")]
    [InlineData("*", "92.9 ± 0.5 bar", "2026-03-04")]
    [InlineData(";;;=,", "92.9 ± 0.5 bar", "2026-03-04")]
    public void The_first_language_that_is_known_counts(string languages, string pressure, string date)
    {
        var context = new DefaultHttpContext();
        context.Request.Headers.AcceptLanguage = languages;
        ReaderFormat format = ReaderFormat.Of(context.Request, PressureUnit.Bar);
        Assert.Equal(pressure, format.Gauge(92.9e5, 0.5e5));
        Assert.Equal(date, format.Date(Instant));
    }

    [Fact]
    public void Every_culture_writes_dates_of_a_far_forecast_with_the_year_of_the_plant()
    {
        foreach (CultureInfo culture in CultureInfo.GetCultures(CultureTypes.SpecificCultures))
        {
            string date = new ReaderFormat(culture, PressureUnit.Bar).Date(Instant.AddYears(100));
            Assert.True(date.Contains("2126", StringComparison.Ordinal), $"{culture.Name}: {date}");
        }
    }

    [Theory]
    [InlineData("MPa", "9.29 ± 0.05 MPa")]
    [InlineData("kPa", "9290 ± 50 kPa")]

    // 92.9 bar x 14.5038 psi/bar = 1347.4; 0.5 bar = 7.25 psi (1 psi = 6894.757 Pa, NIST SP 811).
    [InlineData("psi", "1347 ± 7 psi")]
    public void The_unit_stands_with_the_number(string unit, string expected) =>
        Assert.Equal(expected, new ReaderFormat(CultureInfo.InvariantCulture, PressureUnit.FromSymbol(unit)).Gauge(92.9e5, 0.5e5));

    [Theory]
    [InlineData("de-DE", "bar", "Vorrang 1.2.3: Precharge 52,0 ± 0,5 bar gauge since 30.09.2026 12:00 UTC.")]
    [InlineData("en-US", "bar", "Vorrang 1.2.3: Precharge 52.0 ± 0.5 bar gauge since 9/30/2026 12:00 UTC.")]
    [InlineData("", "psi", "Vorrang 1.2.3: Precharge 754 ± 7 psi gauge since 2026-09-30 12:00 UTC.")]
    public void A_sentence_has_the_numbers_dates_and_unit_of_its_reader(string culture, string unit, string expected) =>
        Assert.Equal(expected, new ReaderFormat(CultureInfo.GetCultureInfo(culture), PressureUnit.FromSymbol(unit))
            .Sentence("Vorrang 1.2.3: Precharge 52.0 +- 0.5 bar gauge since 2026-09-30 12:00 UTC."));

    [Fact]
    public void An_instant_or_a_key_in_a_sentence_stays_as_it_is() =>
        Assert.Equal(
            "2026-09-30T12:00:00.5Z SH1-A1/2026-09-30 PR-1.5",
            new ReaderFormat(CultureInfo.GetCultureInfo("de-DE"), PressureUnit.Psi).Sentence("2026-09-30T12:00:00.5Z SH1-A1/2026-09-30 PR-1.5"));

    [Fact]
    public void The_standard_condition_has_the_readers_decimal_sign() =>
        Assert.Equal("3,66 kg, 2929 standard litres (0 °C, 101,325 kPa)", new ReaderFormat(CultureInfo.GetCultureInfo("de-DE"), PressureUnit.Bar).Nitrogen(3.66, 2929));

    /// <summary>Half a bar in a diaphragm vessel of 0.3 litres is less than a gram.</summary>
    [Theory]
    [InlineData(0.00017, 0.1361, "0.000170 kg, 0.136 standard litres")]
    [InlineData(0.00350, 2.798, "0.00350 kg, 2.80 standard litres")]
    [InlineData(529.59, 423736, "530 kg, 423736 standard litres")]
    public void Little_nitrogen_is_not_none(double kilograms, double litres, string expected) =>
        Assert.StartsWith(expected, new ReaderFormat(CultureInfo.InvariantCulture, PressureUnit.Bar).Nitrogen(kilograms, litres), StringComparison.Ordinal);

    [Fact]
    public void A_half_width_never_shows_as_nothing() =>
        Assert.Equal("92.9 ± 0.1 bar", new ReaderFormat(CultureInfo.InvariantCulture, PressureUnit.Bar).Gauge(92.9e5, 100));
}
