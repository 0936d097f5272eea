using System.Text.Json;
using DriftWatch.Plant.Register;
using Json.Schema;

namespace DriftWatch.Plant.Tests.Register;

/// <summary>The published schema and the reader agree wherever a schema can speak.</summary>
public class RegisterSchemaTests
{
    private static readonly JsonSchema Schema = JsonSchema.FromText(RegisterSchema.Text());

    public static TheoryData<string, string?> Bad { get; } = new()
    {
        { "plant", null },
        { "plant", "\"\"" },
        { "plant", "7" },
        { "vessels", null },
        { "vessels", "[]" },
        { "vessels", "{}" },
        { "owner", "\"x\"" },
        { "vessels.0.id", null },
        { "vessels.0.id", "\"\"" },
        { "vessels.0.id", "\"..\"" },
        { "vessels.0.id", "\"a b\"" },
        { "vessels.0.id", "\"a/b\"" },
        { "vessels.0.id", "\"aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa\"" },
        { "vessels.0.description", null },
        { "vessels.0.place", null },
        { "vessels.0.type", "\"Bladder\"" },
        { "vessels.0.type", "3" },
        { "vessels.0.gasVolumeLitres", "0" },
        { "vessels.0.gasVolumeLitres", "-1" },
        { "vessels.0.gasVolumeLitres", "100001" },
        { "vessels.0.gasVolumeLitres", "\"50\"" },
        { "vessels.0.gasVolumeLitres", "null" },
        { "vessels.0.colour", "\"red\"" },
        { "vessels.0.precharge", null },
        { "vessels.0.precharge", "100" },
        { "vessels.0.precharge.nominalBarGauge", null },
        { "vessels.0.precharge.nominalBarGauge", "0" },
        { "vessels.0.precharge.referenceTemperatureCelsius", null },
        { "vessels.0.precharge.referenceTemperatureCelsius", "-20.1" },
        { "vessels.0.precharge.referenceTemperatureCelsius", "60.1" },
        { "vessels.0.precharge.lowerLimitBarGauge", "0" },
        { "vessels.0.precharge.upperLimitBarGauge", "650.1" },
        { "vessels.0.precharge.unit", "\"bar\"" },
        { "vessels.0.allowedLoss", null },
        { "vessels.0.allowedLoss", "{}" },
        { "vessels.0.allowedLoss", """{ "barPerMonth": 1, "percentPerMonth": 1 }""" },
        { "vessels.0.allowedLoss", """{ "barPerMonth": 0 }""" },
        { "vessels.0.allowedLoss", """{ "percentPerMonth": 100.1 }""" },
        { "vessels.0.allowedLoss", """{ "barPerYear": 1 }""" },
        { "vessels.0.workingPressure", """{ "p1BarGauge": 120 }""" },
        { "vessels.0.workingPressure", """{ "p2BarGauge": 120 }""" },
        { "vessels.0.workingPressure", """{ "p1BarGauge": 120, "p2BarGauge": 1001 }""" },
        { "vessels.0.ambient", "{}" },
        { "vessels.0.ambient", "180" },
        { "vessels.0.ambient", """{ "altitudeMetres": 9001 }""" },
        { "vessels.0.ambient", """{ "altitudeMetres": -501 }""" },
        { "vessels.0.ambient", """{ "barometricPressureKPa": 1013.25 }""" },
        { "vessels.0.ambient", """{ "altitudeMetres": 180, "barometricPressureKPa": 99.2 }""" },
        { "vessels.0.sensors", null },
        { "vessels.0.sensors.gasPressure", null },
        { "vessels.0.sensors.gasTemperature", null },
        { "vessels.0.sensors.levelSwitch", "{}" },
        { "vessels.0.sensors.gasPressure.kind", null },
        { "vessels.0.sensors.gasPressure.kind", "\"relative\"" },
        { "vessels.0.sensors.gasPressure.rangeBar", "400" },
        { "vessels.0.sensors.gasPressure.rangeBar", "[0]" },
        { "vessels.0.sensors.gasPressure.rangeBar", "[0, 200, 400]" },
        { "vessels.0.sensors.gasPressure.rangeBar", "[0, \"400\"]" },
        { "vessels.0.sensors.gasPressure.rangeBar", "[-1.2, 400]" },
        { "vessels.0.sensors.gasPressure.rangeBar", "[0, 2001]" },
        { "vessels.0.sensors.gasPressure.standardUncertaintyBar", "0" },
        { "vessels.0.sensors.gasPressure.topic", null },
        { "vessels.0.sensors.gasPressure.topic", "\"works/+/a1\"" },
        { "vessels.0.sensors.gasPressure.topic", "\"works/#\"" },
        { "vessels.0.sensors.gasPressure.name", "\"\"" },
        { "vessels.0.sensors.gasPressure.unit", null },
        { "vessels.0.sensors.gasPressure.unit", "\"Cel\"" },
        { "vessels.0.sensors.gasPressure.unit", "\"barg\"" },
        { "vessels.0.sensors.gasTemperature.rangeCelsius", "[-273.15, 125]" },
        { "vessels.0.sensors.gasTemperature.standardUncertaintyKelvin", "51" },
        { "vessels.0.sensors.gasTemperature.unit", "\"bar\"" },
        { "vessels.0.sensors.gasTemperature.kind", "\"gauge\"" },
        { "vessels.0.sensors.depressurised.topic", null },
        { "vessels.0.sensors.depressurised.unit", "\"bar\"" },
        { "vessels.0.longestSilenceDays", "0" },
        { "vessels.0.falseAlarmProbability", "0.5" },
        { "vessels.0.falseAlarmProbability", "0" },
        { "vessels.0.charges", "\"2025-06-03T07:30:00Z\"" },
        { "vessels.0.charges.0", "20250603" },
        { "calendar", "[]" },
        { "calendar", """{ "leadTimeDays": -1 }""" },
        { "calendar", """{ "prognosisShiftDays": 0 }""" },
        { "calendar", """{ "plannedStops": "2026-08-03T06:00:00Z" }""" },
        { "calendar", """{ "holidays": [] }""" },
        { "vessels.0.checks", "{}" },
        { "vessels.0.checks", "[{}]" },
        { "vessels.0.checks", """[{ "at": "2026-01-05T08:00:00Z", "gasPressureBarGauge": 98 }]""" },
        { "vessels.0.checks", """[{ "at": "2026-01-05T08:00:00Z", "gasPressureBarGauge": -1, "gasTemperatureCelsius": 20 }]""" },
        { "vessels.0.checks", """[{ "at": "2026-01-05T08:00:00Z", "pressure": 98 }]""" },
    };

    public static TheoryData<string, string?> Good { get; } = new()
    {
        { "$schema", null },
        { "vessels.0.type", "\"piston\"" },
        { "vessels.0.gasVolumeLitres", "100000" },
        { "vessels.0.precharge.referenceTemperatureCelsius", "-20" },
        { "vessels.0.precharge.referenceTemperatureCelsius", "60" },
        { "vessels.0.workingPressure", null },
        { "vessels.0.ambient", null },
        { "vessels.0.ambient", """{ "altitudeMetres": -500 }""" },
        { "vessels.0.ambient", """{ "barometricPressureKPa": 115 }""" },
        { "vessels.0.sensors.fluidPressure", null },
        { "vessels.0.sensors.depressurised", null },
        { "vessels.0.sensors.gasPressure.unit", "\"psi\"" },
        { "vessels.0.sensors.gasPressure.unit", "\"hPa\"" },
        { "vessels.0.longestSilenceDays", null },
        { "vessels.0.falseAlarmProbability", "0.499" },
        { "vessels.0.charges", "[]" },
        { "calendar", "{}" },
        { "calendar", """{ "plannedStops": ["2026-08-03T06:00:00+02:00"], "leadTimeDays": 0, "prognosisShiftDays": 365 }""" },
        { "vessels.0.checks", """[{ "at": "2026-01-05T08:00:00Z" }]""" },
        { "vessels.0.checks", """[{ "at": "2026-01-05T08:00:00Z", "gasPressureBarGauge": 98, "gasTemperatureCelsius": -5, "by": "R. Example" }]""" },
        { "vessels.0.id", "\"A\"" },
        { "vessels.0.id", "\"a.b_c-d\"" },
    };

    [Fact]
    public void Schema_and_reader_take_the_example()
    {
        Assert.True(SchemaTakes(RegisterDocuments.Good));
        Assert.Empty(RegisterReader.Read(RegisterDocuments.Good).Defects);
    }

    [Theory]
    [MemberData(nameof(Bad))]
    public void Schema_and_reader_refuse(string path, string? json)
    {
        string document = RegisterDocuments.With(path, json);
        Assert.False(SchemaTakes(document));
        Assert.NotEmpty(RegisterReader.Read(document).Defects);
    }

    [Theory]
    [MemberData(nameof(Good))]
    public void Schema_and_reader_take(string path, string? json)
    {
        string document = RegisterDocuments.With(path, json);
        Assert.Empty(RegisterReader.Read(document).Defects);
        Assert.True(SchemaTakes(document));
    }

    [Fact]
    public void The_schema_in_the_program_is_the_one_in_the_docs()
    {
        string? folder = AppContext.BaseDirectory;
        while (folder is not null && !File.Exists(Path.Combine(folder, "DriftWatch.sln")))
        {
            folder = Path.GetDirectoryName(folder);
        }

        Assert.NotNull(folder);
        Assert.Equal(File.ReadAllText(Path.Combine(folder, "docs", "schema", "register.schema.json")), RegisterSchema.Text());
    }

    private static bool SchemaTakes(string document)
    {
        using JsonDocument parsed = JsonDocument.Parse(document);
        return Schema.Evaluate(parsed.RootElement).IsValid;
    }
}
