using System.Globalization;
using DriftWatch.Gas.Quantities;
using DriftWatch.Host.Web.Readers;
using DriftWatch.Host.Web.Vessels;

namespace DriftWatch.Host.Web.Pages;

/// <summary>The plots of a window: pressure, temperature, and both against each other.</summary>
internal static class WindowPanels
{
    private const double LeastPressureSpanPa = 0.4e5;

    private const double LeastTemperatureSpanK = 2;

    private static readonly int[] MinuteSteps = [1, 2, 5, 10, 15, 30, 60, 120, 180, 360, 720, 1440];

    public static IEnumerable<Panel> Of(WindowView view, ReaderFormat format)
    {
        double factor = format.Unit.PascalsPerUnit;
        yield return OverTime(
            view, format, $"Gas pressure, {format.Unit.Symbol} gauge", "Raw gas pressure around the window", LeastPressureSpanPa / factor,
            ("line gas", Scaled(view.Pressure, value => value / factor)), ("line fluid", Scaled(view.Fluid, value => value / factor)));
        yield return OverTime(
            view, format, "Gas temperature, °C", "Raw gas temperature around the window", LeastTemperatureSpanK,
            ("line heat", Scaled(view.Temperature, value => value - GasTemperature.IcePointKelvins)));
        yield return AgainstTemperature(view, format, factor);
    }

    private static IReadOnlyList<(double X, double Y)> Scaled(IReadOnlyList<TimedValue> values, Func<double, double> scale) =>
        Panel.Thin([.. values.Select(value => (Minutes(value.Instant), scale(value.Value)))]);

    private static double Minutes(DateTimeOffset instant) => instant.UtcTicks / (double)TimeSpan.TicksPerMinute;

    private static Panel OverTime(
        WindowView view, ReaderFormat format, string title, string spoken, double least, params (string Class, IReadOnlyList<(double X, double Y)> Points)[] lines)
    {
        double from = Minutes(view.Window.Start), to = Minutes(view.Window.End);
        double left = Math.Min(from, lines.SelectMany(line => line.Points).Select(point => point.X).DefaultIfEmpty(from).Min());
        double right = Math.Max(to, lines.SelectMany(line => line.Points).Select(point => point.X).DefaultIfEmpty(to).Max());
        right = Math.Max(right, left + 1);
        (double low, double high) = Panel.RangeOf(lines.SelectMany(line => line.Points).Select(point => point.Y), least);
        (IReadOnlyList<double> up, int decimals) = Panel.Round(low, high);
        int step = MinuteSteps.FirstOrDefault(minutes => (right - left) / minutes <= 6, MinuteSteps[^1]);
        List<(double At, string Text)> across = [];
        for (double at = Math.Ceiling(left / step) * step; at <= right; at += step)
        {
            across.Add((at, new DateTime((long)(at * TimeSpan.TicksPerMinute), DateTimeKind.Utc).ToString("HH:mm", CultureInfo.InvariantCulture)));
        }

        return new Panel
        {
            Title = title,
            Spoken = $"{spoken}; the settled part is shaded.",
            Across = "time, UTC; the settled part is shaded",
            Left = left,
            Right = right,
            Bottom = low,
            Top = high,
            AcrossTicks = across,
            UpTicks = [.. up.Select(value => (value, format.Tick(value, decimals)))],
            Lines = lines,
            Shade = (from, to),
        };
    }

    private static Panel AgainstTemperature(WindowView view, ReaderFormat format, double factor)
    {
        List<(double X, double Y)> line = [.. view.Isochore.Select(point => (point.TemperatureK - GasTemperature.IcePointKelvins, point.GaugePa / factor))];
        IReadOnlyList<(double X, double Y)> dots = Panel.Thin([.. view.Gas.Select(point => (point.TemperatureK - GasTemperature.IcePointKelvins, point.GaugePa / factor))]);
        (double left, double right) = Panel.RangeOf(line.Concat(dots).Select(point => point.X), LeastTemperatureSpanK);
        (double low, double high) = Panel.RangeOf(line.Concat(dots).Select(point => point.Y), LeastPressureSpanPa / factor);
        (IReadOnlyList<double> up, int decimals) = Panel.Round(low, high);
        (IReadOnlyList<double> across, int acrossDecimals) = Panel.Round(left, right);
        return new Panel
        {
            Title = $"Gas pressure against temperature, {format.Unit.Symbol} gauge",
            Spoken = "Readings of the window, and the line of constant density through their mean: gas that neither leaks nor is compressed moves along it.",
            Across = "gas temperature, °C; the line is constant density",
            Left = left,
            Right = right,
            Bottom = low,
            Top = high,
            AcrossTicks = [.. across.Select(value => (value, format.Tick(value, acrossDecimals)))],
            UpTicks = [.. up.Select(value => (value, format.Tick(value, decimals)))],
            Lines = [("line isochore", line)],
            Dots = dots,
        };
    }
}
