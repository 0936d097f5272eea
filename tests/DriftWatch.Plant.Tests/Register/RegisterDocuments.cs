using System.Text.Json.Nodes;

namespace DriftWatch.Plant.Tests.Register;

/// <summary>A good register document, and ways to spoil it.</summary>
internal static class RegisterDocuments
{
    public const string Good = """
        {
          "$schema": "register.schema.json",
          "plant": "Example Works",
          "vessels": [
            {
              "id": "PU1-A1",
              "description": "Main circuit accumulator 1",
              "place": "Press hall, power unit 1",
              "type": "bladder",
              "gasVolumeLitres": 50,
              "precharge": { "nominalBarGauge": 100, "referenceTemperatureCelsius": 20, "lowerLimitBarGauge": 90, "upperLimitBarGauge": 108 },
              "allowedLoss": { "barPerMonth": 1.0 },
              "workingPressure": { "p1BarGauge": 120, "p2BarGauge": 210 },
              "ambient": { "altitudeMetres": 180 },
              "sensors": {
                "gasPressure":    { "kind": "gauge", "rangeBar": [0, 400], "standardUncertaintyBar": 0.3, "topic": "works/pu1/a1", "name": "gas-pressure", "unit": "bar" },
                "gasTemperature": { "rangeCelsius": [-40, 125], "standardUncertaintyKelvin": 0.5, "topic": "works/pu1/a1", "name": "gas-temperature", "unit": "Cel" },
                "fluidPressure":  { "kind": "gauge", "rangeBar": [0, 400], "standardUncertaintyBar": 0.5, "topic": "works/pu1/a1", "name": "fluid-pressure", "unit": "bar" },
                "depressurised":  { "topic": "works/pu1/a1", "name": "released" }
              },
              "longestSilenceDays": 30,
              "falseAlarmProbability": 0.01,
              "charges": ["2025-06-03T07:30:00Z", "2024-01-02T03:04:05+01:00"],
              "transducerChanges": ["2025-02-01T09:00:00Z"]
            },
            {
              "id": "PU1-A2",
              "description": "Pulsation damper",
              "place": "Press hall, power unit 1",
              "type": "diaphragm",
              "gasVolumeLitres": 0.75,
              "precharge": { "nominalBarGauge": 60, "referenceTemperatureCelsius": 20, "lowerLimitBarGauge": 50, "upperLimitBarGauge": 66 },
              "allowedLoss": { "percentPerMonth": 1.5 },
              "sensors": {
                "gasPressure":    { "kind": "absolute", "rangeBar": [0, 250], "standardUncertaintyBar": 0.3, "topic": "works/pu1/a2/p", "unit": "psi" },
                "gasTemperature": { "rangeCelsius": [-40, 125], "standardUncertaintyKelvin": 0.5, "topic": "works/pu1/a2/t", "unit": "degF" }
              }
            }
          ]
        }
        """;

    /// <summary>
    /// The good document with one member set: a path such as <c>vessels.0.precharge.lowerLimitBarGauge</c> and the JSON to
    /// put there, or null to remove it.
    /// </summary>
    public static string With(string path, string? json, string document = Good)
    {
        JsonNode root = JsonNode.Parse(document)!;
        string[] steps = path.Split('.');
        JsonNode node = root;
        foreach (string step in steps[..^1])
        {
            node = node is JsonArray list ? list[int.Parse(step, System.Globalization.CultureInfo.InvariantCulture)]! : node[step]!;
        }

        if (node is JsonArray array)
        {
            array[int.Parse(steps[^1], System.Globalization.CultureInfo.InvariantCulture)] = JsonNode.Parse(json!);
        }
        else if (json is null)
        {
            node.AsObject().Remove(steps[^1]);
        }
        else
        {
            node[steps[^1]] = JsonNode.Parse(json);
        }

        return root.ToJsonString();
    }
}
