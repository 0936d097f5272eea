using DriftWatch.Plant.Register;

namespace DriftWatch.Acquisition.Tests;

/// <summary>Registers for the tests, written as a plant would write them.</summary>
internal static class TestRegister
{
    /// <summary>One vessel, A1, on topic <c>works/a1</c>, with all four signals.</summary>
    public static VesselRegister OneVessel { get; } = Of(Vessel("A1", "works/a1"));

    public static VesselRegister Of(params string[] vessels)
    {
        RegisterOutcome outcome = RegisterReader.Read($$"""{ "plant": "Example Works", "vessels": [ {{string.Join(",", vessels)}} ] }""");
        return outcome.Register ?? throw new InvalidOperationException(string.Join("; ", outcome.Defects));
    }

    public static string Vessel(string id, string topic) => Entry(id, $$"""
        "gasPressure":    { "kind": "gauge", "rangeBar": [0, 400], "standardUncertaintyBar": 0.3, "topic": "{{topic}}", "name": "gas-pressure", "unit": "bar" },
        "gasTemperature": { "rangeCelsius": [-40, 125], "standardUncertaintyKelvin": 0.5, "topic": "{{topic}}", "name": "gas-temperature", "unit": "Cel" },
        "fluidPressure":  { "kind": "gauge", "rangeBar": [0, 400], "standardUncertaintyBar": 0.5, "topic": "{{topic}}", "name": "fluid-pressure", "unit": "bar" },
        "depressurised":  { "topic": "{{topic}}", "name": "released" }
        """);

    /// <summary>A vessel whose temperature comes under this name, and whose pressure comes elsewhere.</summary>
    public static string Thermometer(string id, string topic, string? name) => Entry(id, $$"""
        "gasPressure":    { "kind": "gauge", "rangeBar": [0, 400], "standardUncertaintyBar": 0.3, "topic": "elsewhere/{{id}}", "unit": "bar" },
        "gasTemperature": { "rangeCelsius": [-40, 125], "standardUncertaintyKelvin": 0.5, "topic": "{{topic}}", "unit": "Cel" {{(name is null ? "" : $", \"name\": \"{name}\"")}} }
        """);

    /// <summary>A vessel with the gas-side sensors only.</summary>
    public static string GasSideOnly(string id) => Thermometer(id, $"elsewhere/{id}/t", null);

    /// <summary>A vessel whose gas pressure and temperature come as these fields of the register say.</summary>
    public static string Sources(string id, string gasPressure, string gasTemperature, string? depressurised = null) => Entry(id, $$"""
        "gasPressure":    { "kind": "gauge", "rangeBar": [0, 400], "standardUncertaintyBar": 0.3, "unit": "bar", {{gasPressure}} },
        "gasTemperature": { "rangeCelsius": [-40, 125], "standardUncertaintyKelvin": 0.5, "unit": "Cel", {{gasTemperature}} }
        {{(depressurised is null ? "" : $", \"depressurised\": {{ {depressurised} }}")}}
        """);

    /// <summary>A register with fields of the file besides the vessels.</summary>
    public static VesselRegister With(string fields, params string[] vessels)
    {
        RegisterOutcome outcome = RegisterReader.Read($$"""{ "plant": "Example Works", {{fields}}, "vessels": [ {{string.Join(",", vessels)}} ] }""");
        return outcome.Register ?? throw new InvalidOperationException(string.Join("; ", outcome.Defects));
    }

    private static string Entry(string id, string sensors) => $$"""
        {
          "id": "{{id}}", "description": "Accumulator {{id}}", "place": "Hall", "type": "bladder", "gasVolumeLitres": 50,
          "precharge": { "nominalBarGauge": 100, "referenceTemperatureCelsius": 20, "lowerLimitBarGauge": 90, "upperLimitBarGauge": 108 },
          "allowedLoss": { "barPerMonth": 1.0 },
          "sensors": { {{sensors}} }
        }
        """;
}
