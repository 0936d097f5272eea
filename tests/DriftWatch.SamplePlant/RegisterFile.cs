using System.Globalization;
using System.Text.Json.Nodes;

namespace DriftWatch.SamplePlant;

/// <summary>The vessel register of the invented plant.</summary>
public static class RegisterFile
{
    /// <summary>The register as JSON: what the plant's people would write down, planted truth left out.</summary>
    public static JsonObject Json(string plant, IEnumerable<VesselScript> vessels)
    {
        return new JsonObject
        {
            ["plant"] = plant,
            ["vessels"] = new JsonArray([.. vessels.Select(Vessel)]),
        };
    }

    private static JsonObject Vessel(VesselScript script)
    {
        var vessel = new JsonObject
        {
            ["id"] = script.Id,
            ["description"] = script.Description,
            ["place"] = script.Place,
            ["type"] = LowerCase(script.Type),
            ["gasVolumeLitres"] = script.GasVolumeLitres,
            ["precharge"] = new JsonObject
            {
                ["nominalBarGauge"] = script.NominalBarGauge,
                ["referenceTemperatureCelsius"] = 20,
                ["lowerLimitBarGauge"] = script.LowerLimitBarGauge,
                ["upperLimitBarGauge"] = script.UpperLimitBarGauge,
            },
            ["allowedLoss"] = script.AllowedBarPerMonth is { } bar
                ? new JsonObject { ["barPerMonth"] = bar }
                : new JsonObject { ["percentPerMonth"] = script.AllowedPercentPerMonth },
            ["workingPressure"] = new JsonObject { ["p1BarGauge"] = script.P1BarGauge, ["p2BarGauge"] = script.P2BarGauge },
            ["ambient"] = script.StatesBarometer
                ? new JsonObject { ["barometricPressureKPa"] = Math.Round(script.BarometricPa / 1000, 1) }
                : new JsonObject { ["altitudeMetres"] = script.AltitudeMetres },
            ["sensors"] = Sensors(script),
            ["longestSilenceDays"] = 30,
        };
        DateTimeOffset[] onRecord = [.. script.Recharges.Where(recharge => recharge.OnRecord).Select(recharge => recharge.At)];
        if (onRecord.Length > 0)
        {
            vessel["charges"] = new JsonArray([.. onRecord.Select(at => (JsonNode)Instant(at))]);
        }

        return vessel;
    }

    private static JsonObject Sensors(VesselScript script)
    {
        string topic = "quillhaven/" + script.Id.ToLowerInvariant().Replace('-', '/');
        var sensors = new JsonObject
        {
            ["gasPressure"] = Pressure(
                script.PressureSensor, script.AbsolutePressureSensor ? "absolute" : "gauge", topic, "gas-pressure"),
            ["gasTemperature"] = new JsonObject
            {
                ["rangeCelsius"] = new JsonArray(script.TemperatureSensor.Low, script.TemperatureSensor.High),
                ["standardUncertaintyKelvin"] = script.TemperatureSensor.StandardUncertainty,
                ["topic"] = topic,
                ["name"] = "gas-temperature",
                ["unit"] = "Cel",
            },
        };
        if (script.FluidSensor is { } fluid)
        {
            sensors["fluidPressure"] = Pressure(fluid, "gauge", topic, "fluid-pressure");
        }

        if (script.HasReleasedContact)
        {
            sensors["depressurised"] = new JsonObject { ["topic"] = topic, ["name"] = "released" };
        }

        return sensors;
    }

    private static JsonObject Pressure(Transducer sensor, string kind, string topic, string name)
    {
        return new JsonObject
        {
            ["kind"] = kind,
            ["rangeBar"] = new JsonArray(sensor.Low, sensor.High),
            ["standardUncertaintyBar"] = sensor.StandardUncertainty,
            ["topic"] = topic,
            ["name"] = name,
            ["unit"] = "bar",
        };
    }

    private static string LowerCase(VesselType type)
    {
        return type.ToString().ToLowerInvariant();
    }

    /// <summary>RFC 3339, UTC, whole seconds.</summary>
    internal static string Instant(DateTimeOffset at)
    {
        return at.UtcDateTime.ToString("yyyy-MM-ddTHH:mm:ss'Z'", CultureInfo.InvariantCulture);
    }
}
