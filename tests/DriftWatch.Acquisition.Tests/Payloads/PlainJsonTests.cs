using DriftWatch.Acquisition.Payloads;
using DriftWatch.Plant.Register;

namespace DriftWatch.Acquisition.Tests.Payloads;

public class PlainJsonTests
{
    [Fact]
    public void Mapped_fields_become_readings_and_others_are_passed_over()
    {
        Decoding decoding = Decoding.Of("""
            { "gas-pressure": 101.5, "gas-temperature": 20, "released": true, "motor": { "rpm": [1, 2] }, "time": "2025-06-03T09:15:00+02:00", "fluid-pressure": null }
            """);
        Assert.Equal(
            [
                "A1 GasPressure 2025-06-03T07:15:00Z 10150000",
                "A1 GasTemperature 2025-06-03T07:15:00Z 293.15",
                "A1 Depressurised 2025-06-03T07:15:00Z 1",
            ],
            decoding.Lines);
        Assert.False(decoding.Outcome.HasRejected);
    }

    [Fact]
    public void An_array_of_objects_gives_the_readings_of_each()
    {
        Decoding decoding = Decoding.Of("""
            [ { "time": 1748935800, "gas-pressure": 100 }, { "time": 1748935860, "gas-pressure": 99, "gas-temperature": "hot" }, 5, {} ]
            """);
        Assert.Equal(["A1 GasPressure 2025-06-03T07:30:00Z 10000000", "A1 GasPressure 2025-06-03T07:31:00Z 9900000"], decoding.Lines);
        Assert.Equal(["record 2 (gas-temperature)", "record 3", "record 4"], decoding.Outcome.Rejected.Select(part => part.Place));
    }

    /// <summary>1748935800 s from the Unix epoch is 2025-06-03T07:30:00Z (by <c>date -u -d @1748935800</c>).</summary>
    [Theory]
    [InlineData("1748935800", "2025-06-03T07:30:00Z")]
    [InlineData("1748935800.25", "2025-06-03T07:30:00.25Z")]
    [InlineData("1748935800250", "2025-06-03T07:30:00.25Z")]
    [InlineData("1748935800250001", "2025-06-03T07:30:00.250001Z")]
    [InlineData("1748935800250001999", "2025-06-03T07:30:00.250001Z")]
    [InlineData("\"2025-06-03T07:30:00.25Z\"", "2025-06-03T07:30:00.25Z")]
    [InlineData("null", "2025-06-03T07:30:00Z")]
    public void Times_are_recognised(string time, string instant) =>
        Assert.Equal([$"A1 GasTemperature {instant} 293.15"], Decoding.Of($$"""{ "time": {{time}}, "gas-temperature": 20 }""").Lines);

    [Theory]
    [InlineData(SourceTime.EpochSeconds, "1748935800")]
    [InlineData(SourceTime.EpochMilliseconds, "1748935800000")]
    [InlineData(SourceTime.EpochMicroseconds, "1748935800000000")]
    [InlineData(SourceTime.EpochNanoseconds, "1748935800000000000")]
    [InlineData(SourceTime.Rfc3339, "\"2025-06-03T07:30:00Z\"")]
    public void Times_are_read_as_configured_and_nothing_else(SourceTime time, string text)
    {
        PayloadOptions options = new() { Time = time, TimeField = "ts" };
        Assert.Equal(["A1 GasTemperature 2025-06-03T07:30:00Z 293.15"], Decoding.Of($$"""{ "ts": {{text}}, "gas-temperature": 20 }""", options: options).Lines);
        string other = time == SourceTime.Rfc3339 ? "1748935800" : "\"2025-06-03T07:30:00Z\"";
        Decoding refused = Decoding.Of($$"""{ "ts": {{other}}, "gas-temperature": 20 }""", options: options);
        Assert.Empty(refused.Readings);
        Assert.Equal(1, refused.Outcome.RejectedCount);
    }

    [Theory]
    [InlineData("\"2025-06-03T07:30:00\"")]
    [InlineData("\"yesterday\"")]
    [InlineData("1e300")]
    [InlineData("99999999999999999999999")]
    [InlineData("true")]
    [InlineData("[1]")]
    [InlineData("12")]
    public void A_time_that_names_no_instant_or_a_wrong_one_sets_the_record_aside(string time)
    {
        Decoding decoding = Decoding.Of($$"""{ "time": {{time}}, "gas-temperature": 20 }""");
        Assert.Empty(decoding.Readings);
        Assert.Equal(1, decoding.Outcome.RejectedCount);
    }

    [Theory]
    [InlineData("20", "T GasTemperature 2025-06-03T07:30:00Z 293.15")]
    [InlineData(" 20.5e0 ", "T GasTemperature 2025-06-03T07:30:00Z 293.65")]
    [InlineData("""{ "value": 20, "time": 1748935800 }""", "T GasTemperature 2025-06-03T07:30:00Z 293.15")]
    public void A_topic_of_one_signal_needs_no_name(string payload, string line) =>
        Assert.Equal([line], Decoding.Of(payload, TestRegister.Of(TestRegister.Thermometer("T", "works/t", null)), "works/t").Lines);

    [Fact]
    public void A_message_kept_by_the_broker_needs_a_time_of_its_own()
    {
        Assert.Empty(Decoding.Of("""{ "gas-temperature": 20 }""", arrivalIsReadingTime: false).Readings);
        Assert.Single(Decoding.Of("""{ "gas-temperature": 20, "time": 1748935800 }""", arrivalIsReadingTime: false).Readings);
        VesselRegister nameless = TestRegister.Of(TestRegister.Thermometer("T", "works/t", null));
        Assert.Empty(Decoding.Of("20", nameless, "works/t", arrivalIsReadingTime: false).Readings);
    }

    [Fact]
    public void Pressure_in_psi_and_temperature_in_fahrenheit_become_si()
    {
        string vessel = TestRegister.Vessel("A1", "works/a1")
            .Replace("\"gas-pressure\", \"unit\": \"bar\"", "\"gas-pressure\", \"unit\": \"psi\"", StringComparison.Ordinal)
            .Replace("\"Cel\"", "\"degF\"", StringComparison.Ordinal);

        Decoding decoding = Decoding.Of("""{ "gas-pressure": 1450, "gas-temperature": 68 }""", TestRegister.Of(vessel));

        // 1450 psi x 6894.757 Pa (NIST SP 811, appendix B.8); 68 degF = 20 degrees C.
        Assert.Equal(9_997_398, decoding.Readings[0].Reading.Value, 1.0);
        Assert.Equal(293.15, decoding.Readings[1].Reading.Value, 1e-9);
    }
}
