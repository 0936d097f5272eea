using System.Text.Json;
using DriftWatch.Gas.Quantities;
using DriftWatch.Trends.Inspection;
using Range = DriftWatch.Plant.Register.RegisterObject.Range;

namespace DriftWatch.Plant.Register;

/// <summary>Reads the checks by hand that are on record for a vessel.</summary>
internal static class RegisterChecks
{
    private static readonly Range PressureBar = Range.From(0, 650, "bar gauge");
    private static readonly Range TemperatureCelsius = Range.From(-40, 100, "degrees C");

    public static IReadOnlyList<PrechargeCheck> Read(RegisterObject entry)
    {
        List<PrechargeCheck> checks = [];
        foreach ((string place, JsonElement element) in entry.Array("checks", required: false, "[ { \"at\": \"2025-06-03T07:30:00Z\" } ]") ?? [])
        {
            if (entry.Open(place, element) is not { } check)
            {
                continue;
            }

            string? text = check.RequiredText("at", "\"2025-06-03T07:30:00Z\"");
            double? pressure = check.OptionalNumber("gasPressureBarGauge", PressureBar);
            double? temperature = check.OptionalNumber("gasTemperatureCelsius", TemperatureCelsius);
            check.OptionalText("by");
            bool half = check.Has("gasPressureBarGauge") != check.Has("gasTemperatureCelsius");
            check.Close();
            if (half)
            {
                entry.Note(place, "Pressure and temperature of a check belong together; one is missing.", "Give both, or neither.");
            }

            if (text is not null && RegisterInstants.Parse(check, "at", text) is { } at)
            {
                checks.Add(new PrechargeCheck(
                    at,
                    pressure is { } bar ? GaugePressure.FromBar(bar) : null,
                    temperature is { } celsius ? GasTemperature.FromDegreesCelsius(celsius) : null));
            }
        }

        return [.. checks.OrderBy(check => check.At)];
    }
}
