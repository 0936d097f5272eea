using DriftWatch.Plant.Register;

namespace DriftWatch.Fuzz;

/// <summary>A register with one vessel for each way in.</summary>
internal static class FuzzRegister
{
    public static VesselRegister Create()
    {
        string[] vessels =
        [
            Vessel("A1", "\"topic\": \"works/a1\", \"name\": \"gas-pressure\"", "\"topic\": \"works/a1\", \"name\": \"gas-temperature\""),
            Vessel("A2", "\"topic\": \"works/a2/p\"", "\"topic\": \"works/a2/t\", \"format\": \"number\""),
            Vessel(
                "A3",
                "\"topic\": \"works/a3\", \"pointer\": \"/gas/p/0\", \"timePointer\": \"/at\"",
                "\"topic\": \"works/a3\", \"recordsPointer\": \"/rows\", \"pointer\": \"/T\", \"time\": \"epochMilliseconds\""),
            Vessel(
                "A4",
                "\"format\": \"sparkplugB\", \"topic\": \"spBv1.0/works/n/d\", \"name\": \"gas/pressure\"",
                "\"format\": \"sparkplugB\", \"topic\": \"spBv1.0/works/n/d\", \"name\": \"gas/temperature\""),
            Vessel("A5", "\"name\": \"x\"", "\"name\": \"y\""),
        ];
        RegisterOutcome outcome = RegisterReader.Read(
            $$"""{ "plant": "Example Works", "topicTemplate": "hall/{vessel}", "vessels": [ {{string.Join(",", vessels)}} ] }""");
        return outcome.Register ?? throw new InvalidOperationException(string.Join("; ", outcome.Defects));
    }

    /// <summary>Topics to send payloads to, the unknown among them.</summary>
    public static string[] Topics { get; } =
    [
        "works/a1", "works/a2/p", "works/a2/t", "works/a3", "hall/A5", "hall/A9", "elsewhere",
        "spBv1.0/works/NBIRTH/n", "spBv1.0/works/DBIRTH/n/d", "spBv1.0/works/DDATA/n/d", "spBv1.0/works/NDATA/n",
        "spBv1.0/works/DDEATH/n/d", "spBv1.0/works/NDEATH/n", "spBv1.0/works/NCMD/n",
    ];

    private static string Vessel(string id, string pressure, string temperature) => $$"""
        {
          "id": "{{id}}", "description": "Accumulator {{id}}", "place": "Hall", "type": "bladder", "gasVolumeLitres": 50,
          "precharge": { "nominalBarGauge": 100, "referenceTemperatureCelsius": 20, "lowerLimitBarGauge": 90, "upperLimitBarGauge": 108 },
          "allowedLoss": { "barPerMonth": 1.0 },
          "sensors": {
            "gasPressure": { "kind": "gauge", "rangeBar": [0, 400], "standardUncertaintyBar": 0.3, "unit": "bar", {{pressure}} },
            "gasTemperature": { "rangeCelsius": [-40, 125], "standardUncertaintyKelvin": 0.5, "unit": "Cel", {{temperature}} }
          }
        }
        """;
}
