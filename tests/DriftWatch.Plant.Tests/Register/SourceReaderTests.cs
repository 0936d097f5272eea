using DriftWatch.Plant.Register;

namespace DriftWatch.Plant.Tests.Register;

/// <summary>Where signals come from: templates, pointers, forms of payload.</summary>
public class SourceReaderTests
{
    [Fact]
    public void A_template_gives_the_topics_of_sensors_that_name_none()
    {
        VesselRegister register = Good("""
            "topicTemplate": "works/{vessel}/{signal}", "signalWords": { "gasPressure": "p-gas" },
            """, """ "unit": "bar" """, """ "unit": "Cel", "topic": "hall/{vessel}" """);
        Assert.Equal(["works/A1/p-gas", "hall/A1"], register.Vessels[0].Sources.Select(source => source.Topic));
        Assert.Equal("works/+/+", register.TopicTemplate!.Filter);
        Assert.True(register.TopicTemplate.TryMatch("works/B7/x", out string vessel, out string signal));
        Assert.Equal(("B7", "x"), (vessel, signal));
        Assert.False(register.TopicTemplate.TryMatch("works/B7/x/y", out _, out _));
        Assert.False(register.TopicTemplate.TryMatch("plant/B7/x", out _, out _));
    }

    [Fact]
    public void Pointers_times_and_forms_are_read()
    {
        VesselRegister register = Good(
            "",
            """ "topic": "t", "unit": "bar", "format": "json", "pointer": "/p/v", "timePointer": "/p/t", "recordsPointer": "/all", "time": "epochMilliseconds" """,
            """ "topic": "u", "unit": "Cel", "format": "number", "time": "arrival", "arrivalUncertaintySeconds": 5 """);
        SignalSource pressure = register.Vessels[0].Sources[0];
        Assert.Equal((SourceFormat.Json, "/p/v", "/p/t", "/all", SourceTime.EpochMilliseconds),
            (pressure.Format, pressure.Value!.Text, pressure.Time!.Text, pressure.Records!.Text, pressure.TimeFormat));
        SignalSource temperature = register.Vessels[0].Sources[1];
        Assert.Equal((SourceFormat.Number, SourceTime.Arrival, TimeSpan.FromSeconds(5)),
            (temperature.Format, temperature.TimeFormat, temperature.ArrivalUncertainty!.Value));
    }

    [Theory]
    [InlineData(""" "topicTemplate": "works/{signal}", """, """ "topic": "t", "unit": "bar" """, "topicTemplate: 'works/{signal}' is no template")]
    [InlineData(""" "topicTemplate": "works/x{vessel}", """, """ "topic": "t", "unit": "bar" """, "topicTemplate: 'works/x{vessel}' is no template")]
    [InlineData(""" "topicTemplate": "w/{vessel}", "signalWords": { "gasPressure": "a/b" }, """, """ "unit": "bar" """, "signalWords.gasPressure: 'a/b' is no level")]
    [InlineData("", """ "topic": "t/+", "unit": "bar" """, "is no topic of one source")]
    [InlineData("", """ "unit": "bar" """, "gasPressure.topic (vessel A1): The field is missing")]
    [InlineData("", """ "topic": "t", "unit": "bar", "pointer": "p" """, "is no JSON Pointer")]
    [InlineData("", """ "topic": "t", "unit": "bar", "pointer": "/p", "name": "p" """, "Both name and pointer")]
    [InlineData("", """ "topic": "t", "unit": "bar", "pointer": "/p", "format": "senml" """, "points into plain JSON only")]
    [InlineData("", """ "topic": "t", "unit": "bar", "time": "epochSeconds", "format": "senml" """, "writes the time in its own way")]
    [InlineData("", """ "topic": "t", "unit": "bar", "time": "noon" """, "'noon' is no way to write a time")]
    [InlineData("", """ "topic": "t", "unit": "bar", "time": "arrival" """, "How late a message may come is not said")]
    [InlineData("", """ "topic": "t", "unit": "bar", "arrivalUncertaintySeconds": 5 """, "belongs to \"time\": \"arrival\" only")]
    [InlineData("", """ "topic": "t", "unit": "bar", "time": "arrival", "arrivalUncertaintySeconds": 1801 """, "out of range")]
    [InlineData("", """ "topic": "t", "unit": "bar", "format": "xml" """, "'xml' is no form of payload")]
    [InlineData("", """ "topic": "t", "unit": "bar", "format": "number", "name": "p" """, "A bare number has no name")]
    [InlineData("", """ "topic": "spBv1.0/g", "unit": "bar", "format": "sparkplugB", "name": "p" """, "names no Sparkplug node or device")]
    [InlineData("", """ "topic": "spBv1.0/g/n", "unit": "bar", "format": "sparkplugB" """, "brings many metrics")]
    [InlineData("", """ "topic": "u", "unit": "bar", "format": "json", "name": "p" """, "is given two forms of payload")]
    [InlineData("", """ "topic": "u", "unit": "bar" """, "has no name to tell it by")]
    public void What_is_wrong_is_told(string file, string gasPressure, string problem)
    {
        RegisterOutcome outcome = RegisterReader.Read(Document(file, gasPressure, """ "topic": "u", "unit": "Cel", "name": "T" """));
        Assert.Contains(outcome.Defects, defect => defect.ToString().Contains(problem, StringComparison.Ordinal));
    }

    [Fact]
    public void Two_signals_at_one_place_are_refused()
    {
        const string Twice = """ "topic": "t", "pointer": "/v" """;
        RegisterOutcome outcome = RegisterReader.Read(Document("", Twice + """, "unit": "bar" """, Twice + """, "unit": "Cel" """));
        Assert.Contains("with pointer '/v' is taken by", Assert.Single(outcome.Defects).Problem, StringComparison.Ordinal);
    }

    private static VesselRegister Good(string file, string gasPressure, string gasTemperature)
    {
        RegisterOutcome outcome = RegisterReader.Read(Document(file, gasPressure, gasTemperature));
        Assert.Empty(outcome.Defects);
        return outcome.Register!;
    }

    private static string Document(string file, string gasPressure, string gasTemperature) => $$"""
        { "plant": "Example Works", {{file}} "vessels": [ {
          "id": "A1", "description": "Accumulator", "place": "Hall", "type": "bladder", "gasVolumeLitres": 50,
          "precharge": { "nominalBarGauge": 100, "referenceTemperatureCelsius": 20, "lowerLimitBarGauge": 90, "upperLimitBarGauge": 108 },
          "allowedLoss": { "barPerMonth": 1.0 },
          "sensors": {
            "gasPressure": { "kind": "gauge", "rangeBar": [0, 400], "standardUncertaintyBar": 0.3, {{gasPressure}} },
            "gasTemperature": { "rangeCelsius": [-40, 125], "standardUncertaintyKelvin": 0.5, {{gasTemperature}} }
          } } ] }
        """;
}
