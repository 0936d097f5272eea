using DriftWatch.Acquisition.Payloads;
using DriftWatch.Plant.Register;

namespace DriftWatch.Acquisition.Tests.Payloads;

/// <summary>Plain JSON mapped by JSON Pointer, times as each source writes them, bare numbers, topics by template.</summary>
public class MappedJsonTests
{
    [Fact]
    public void Values_and_times_are_taken_from_where_the_pointers_say()
    {
        VesselRegister register = TestRegister.Of(TestRegister.Sources(
            "A1",
            """ "topic": "works/a1", "pointer": "/gas/p/v", "timePointer": "/gas/p/at", "time": "epochMilliseconds" """,
            """ "topic": "works/a1", "pointer": "/gas/T/0", "timePointer": "/at" """,
            """ "topic": "works/a1", "pointer": "/a~1b" """));
        Decoding decoding = Decoding.Of(
            """{ "gas": { "p": { "v": 101.5, "at": 1748935800250 }, "T": [20.25, 7] }, "at": "2025-06-03T09:15:00+02:00", "a/b": true }""", register);

        // 1748935800 is 2025-06-03T07:30:00Z (by date -u -d @1748935800).
        Assert.Equal(
            [
                "A1 GasPressure 2025-06-03T07:30:00.25Z 10150000",
                "A1 GasTemperature 2025-06-03T07:15:00Z 293.4",
                "A1 Depressurised 2025-06-03T07:30:00Z 1",
            ],
            decoding.Lines);
        Assert.False(decoding.Outcome.HasRejected);
    }

    [Fact]
    public void Records_stand_where_their_pointer_says()
    {
        VesselRegister register = TestRegister.Of(TestRegister.Sources(
            "A1",
            """ "topic": "works/a1", "recordsPointer": "/data/rows", "pointer": "/p", "timePointer": "/t", "time": "epochSeconds" """,
            """ "topic": "works/a1", "recordsPointer": "/data/rows", "pointer": "/T", "timePointer": "/t", "time": "epochSeconds" """));
        Decoding decoding = Decoding.Of("""{ "data": { "rows": [ { "t": 1748935800, "p": 100, "T": 20 }, { "t": 1748935860, "p": 101, "T": null }, { "p": 102, "T": "warm" } ] } }""", register);
        Assert.Equal(
            ["A1 GasPressure 2025-06-03T07:30:00Z 10000000", "A1 GasPressure 2025-06-03T07:31:00Z 10100000", "A1 GasTemperature 2025-06-03T07:30:00Z 293.15"],
            decoding.Lines);
        Assert.Equal(
            ["record 3 (/p): there is no time at '/t'", "record 3 (/T): what stands at '/T' is no number"],
            decoding.Outcome.Rejected.Select(part => part.ToString()));
        Assert.Contains("where the records should stand", Decoding.Of("""{ "data": {} }""", register).Outcome.Reason, StringComparison.Ordinal);
        Assert.Contains("is no array of records", Decoding.Of("""{ "data": { "rows": 7 } }""", register).Outcome.Reason, StringComparison.Ordinal);
        Assert.Contains(
            "more than 1 records",
            Decoding.Of("""{ "data": { "rows": [{}, {}] } }""", register, options: new PayloadOptions { MostRecords = 1 }).Outcome.Reason,
            StringComparison.Ordinal);
    }

    /// <summary>One instant, 2025-06-03T07:30:00.25Z, in each way.</summary>
    [Theory]
    [InlineData("rfc3339", "\"2025-06-03T07:30:00.25Z\"")]
    [InlineData("epochSeconds", "1748935800.25")]
    [InlineData("epochMilliseconds", "1748935800250")]
    [InlineData("epochMicroseconds", "1748935800250000")]
    [InlineData("epochNanoseconds", "1748935800250000000")]
    public void Each_source_has_its_own_way_to_write_the_time(string time, string text)
    {
        VesselRegister register = TestRegister.Of(TestRegister.Sources(
            "A1", $""" "topic": "works/a1", "name": "p", "time": "{time}" """, """ "topic": "t" """));
        Assert.Equal(["A1 GasPressure 2025-06-03T07:30:00.25Z 10000000"], Decoding.Of($$"""{ "p": 100, "time": {{text}} }""", register).Lines);
        Assert.Equal(
            ["A1 GasPressure 2025-06-03T07:30:00.25Z 10000000", "A1 GasPressure 2025-06-03T07:30:00.25Z 10100000"],
            Decoding.Of($$"""[{ "p": 100, "time": {{text}} }, { "p": 101, "time": {{text}} }]""", register).Lines);

        string wrong = time == "rfc3339" ? "1748935800" : "\"2025-06-03T07:30:00Z\"";
        Assert.Empty(Decoding.Of($$"""{ "p": 100, "time": {{wrong}} }""", register).Readings);
    }

    [Fact]
    public void The_arrival_counts_where_the_register_says_so()
    {
        VesselRegister register = TestRegister.Of(TestRegister.Sources(
            "A1", """ "topic": "works/a1", "name": "p", "time": "arrival", "arrivalUncertaintySeconds": 5 """, """ "topic": "t" """));
        Assert.Equal(["A1 GasPressure 2025-06-03T07:30:00Z 10000000"], Decoding.Of("""{ "p": 100, "time": "2001-01-01T00:00:00Z" }""", register).Lines);
        Assert.Empty(Decoding.Of("""{ "p": 100 }""", register, arrivalIsReadingTime: false).Readings);
    }

    [Theory]
    [InlineData("101.5", 1)]
    [InlineData("+101.5\r\n", 1)]
    [InlineData(" 1.015e2 ", 1)]
    [InlineData("101,5", 0)]
    [InlineData("101.5 bar", 0)]
    [InlineData("NaN", 0)]
    [InlineData("1e400", 0)]
    [InlineData("{}", 0)]
    public void A_bare_number_is_read_as_text(string text, int taken)
    {
        VesselRegister register = TestRegister.Of(TestRegister.Sources("A1", """ "topic": "works/a1", "format": "number" """, """ "topic": "t" """));
        Decoding decoding = Decoding.Of(text, register);
        Assert.Equal(taken, decoding.Readings.Count);
        Assert.Equal(1 - taken, decoding.Outcome.RejectedCount);
    }

    [Fact]
    public void Topics_by_template_find_vessel_and_signal_and_tell_the_unknown()
    {
        VesselRegister register = TestRegister.With(
            """ "topicTemplate": "works/{vessel}/{signal}" """,
            TestRegister.Sources("A1", """ "format": "number" """, """ "format": "number" """, """ "format": "number" """),
            TestRegister.Sources("A2", """ "topic": "elsewhere" """, """ "format": "number" """));
        Assert.Equal(["works/+/+", "elsewhere"], new ReadingDecoder(register).Filters);
        Assert.Equal(["A1 GasPressure 2025-06-03T07:30:00Z 10000000"], Decoding.Of("100", register, "works/A1/gas-pressure").Lines);
        Assert.Equal(["A1 Depressurised 2025-06-03T07:30:00Z 1"], Decoding.Of("true", register, "works/A1/depressurised").Lines);
        Assert.Equal(["A2 GasTemperature 2025-06-03T07:30:00Z 293.15"], Decoding.Of("20", register, "works/A2/gas-temperature").Lines);
        Assert.Contains("vessel 'A9' is not in the register", Decoding.Of("100", register, "works/A9/gas-pressure").Outcome.Reason, StringComparison.Ordinal);
        Assert.Contains("'oil' is no signal", Decoding.Of("100", register, "works/A1/oil").Outcome.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void A_form_that_the_register_names_is_not_guessed()
    {
        VesselRegister senml = TestRegister.Of(TestRegister.Sources("A1", """ "topic": "works/a1", "format": "senml", "name": "p" """, """ "topic": "t" """));
        Assert.Single(Decoding.Of("""[{ "n": "p", "v": 100, "time": 1 }]""", senml).Readings);
        Assert.Contains("an array of records", Decoding.Of("""{ "p": 100 }""", senml).Outcome.Reason, StringComparison.Ordinal);
        VesselRegister json = TestRegister.Of(TestRegister.Sources("A1", """ "topic": "works/a1", "format": "json", "name": "v" """, """ "topic": "t" """));
        Assert.Single(Decoding.Of("""[{ "n": "p", "v": 100 }]""", json).Readings);
    }
}
