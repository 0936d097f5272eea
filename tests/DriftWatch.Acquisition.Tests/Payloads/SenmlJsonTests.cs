using DriftWatch.Acquisition.Payloads;
using DriftWatch.Plant.Register;

namespace DriftWatch.Acquisition.Tests.Payloads;

/// <summary>SenML JSON by RFC 8428, with the examples of its section 5.1.</summary>
public class SenmlJsonTests
{
    private static readonly VesselRegister RfcThermometer = TestRegister.Of(TestRegister.Thermometer("T", "works/t", "urn:dev:ow:10e2073a01080063"));

    /// <summary>RFC 8428 section 5.1.1: a temperature of about now.</summary>
    [Fact]
    public void Single_data_point_of_section_5_1_1()
    {
        Decoding decoding = Decoding.Of("""[{"n":"urn:dev:ow:10e2073a01080063","u":"Cel","v":23.1}]""", RfcThermometer, "works/t");
        Assert.Equal(["T GasTemperature 2025-06-03T07:30:00Z 296.25"], decoding.Lines);
        Assert.False(decoding.Outcome.HasRejected);
    }

    /// <summary>
    /// RFC 8428 section 5.1.2, third example, at Tue Jun 8 18:01:16.001 UTC 2010 and each of the 5 seconds before. Its units
    /// V and A stand here as K and Cel, and its voltage as 320.1, so that thermometers take them.
    /// </summary>
    [Fact]
    public void Base_fields_and_relative_times_of_section_5_1_2()
    {
        VesselRegister register = TestRegister.Of(
            TestRegister.Thermometer("V", "works/t", "urn:dev:ow:10e2073a0108006:voltage"),
            TestRegister.Thermometer("C", "works/t", "urn:dev:ow:10e2073a0108006:current"));
        Decoding decoding = Decoding.Of("""
            [
              {"bn":"urn:dev:ow:10e2073a0108006:","bt":1.276020076001e+09,"bu":"Cel","bver":5,"n":"voltage","u":"K","v":320.1},
              {"n":"current","t":-5,"v":1.2},
              {"n":"current","t":-4,"v":1.3},
              {"n":"current","t":-3,"v":1.4},
              {"n":"current","t":-2,"v":1.5},
              {"n":"current","t":-1,"v":1.6},
              {"n":"current","v":1.7}
            ]
            """, register, "works/t", door: Decoding.DoorOf2010);
        Assert.Equal(
            [
                "V GasTemperature 2010-06-08T18:01:16.001Z 320.1",
                "C GasTemperature 2010-06-08T18:01:11.001Z 274.35",
                "C GasTemperature 2010-06-08T18:01:12.001Z 274.45",
                "C GasTemperature 2010-06-08T18:01:13.001Z 274.55",
                "C GasTemperature 2010-06-08T18:01:14.001Z 274.65",
                "C GasTemperature 2010-06-08T18:01:15.001Z 274.75",
                "C GasTemperature 2010-06-08T18:01:16.001Z 274.85",
            ],
            decoding.Lines);
        Assert.False(decoding.Outcome.HasRejected);
    }

    /// <summary>RFC 8428 section 5.1.2, second example: resolved names of what the register does not know.</summary>
    [Fact]
    public void Unknown_names_are_set_aside_by_their_resolved_name()
    {
        Decoding decoding = Decoding.Of("""
            [
              {"bn":"urn:dev:ow:10e2073a01080063:","n":"voltage","u":"V","v":120.1},
              {"n":"current","u":"A","v":1.2}
            ]
            """, RfcThermometer, "works/t");
        Assert.Empty(decoding.Readings);
        Assert.Equal(
            ["record 1 (urn:dev:ow:10e2073a01080063:voltage)", "record 2 (urn:dev:ow:10e2073a01080063:current)"],
            decoding.Outcome.Rejected.Select(part => part.Place));
        Assert.All(decoding.Outcome.Rejected, part => Assert.Contains("no vessel of the register takes this name", part.Reason, StringComparison.Ordinal));
    }

    /// <summary>
    /// RFC 8428 section 5.1.3, the first records; its humidity in %RH stands here in Cel. The name is the base name alone.
    /// 1320067464 is Mon Oct 31 13:24:24 UTC 2011, as the RFC says.
    /// </summary>
    [Fact]
    public void Base_name_alone_is_a_name_of_section_5_1_3()
    {
        Decoding decoding = Decoding.Of("""
            [
              {"bn":"urn:dev:ow:10e2073a01080063","bt":1.320067464e+09,"bu":"Cel","v":20},
              {"u":"lon","v":24.30621},
              {"u":"lat","v":60.07965},
              {"t":60,"v":20.3},
              {"u":"lon","t":60,"v":24.30622},
              {"u":"lat","t":60,"v":60.07965},
              {"t":120,"v":20.7}
            ]
            """, RfcThermometer, "works/t", door: Decoding.DoorOf2010);
        Assert.Equal(
            [
                "T GasTemperature 2011-10-31T13:24:24Z 293.15",
                "T GasTemperature 2011-10-31T13:25:24Z 293.45",
                "T GasTemperature 2011-10-31T13:26:24Z 293.85",
            ],
            decoding.Lines);
        Assert.Equal(4, decoding.Outcome.RejectedCount);
        Assert.Equal("its unit 'lon' is not known", decoding.Outcome.Rejected[0].Reason);
    }

    /// <summary>RFC 8428 section 5.1.5: a text, a truth value and data are no temperature.</summary>
    [Fact]
    public void Other_value_types_of_section_5_1_5_are_set_aside()
    {
        VesselRegister register = TestRegister.Of(
            TestRegister.Thermometer("T", "works/t", "urn:dev:ow:10e2073a01080063:temp"),
            TestRegister.Thermometer("L", "works/t", "urn:dev:ow:10e2073a01080063:label"),
            TestRegister.Thermometer("O", "works/t", "urn:dev:ow:10e2073a01080063:open"),
            TestRegister.Thermometer("N", "works/t", "urn:dev:ow:10e2073a01080063:nfc-reader"));
        Decoding decoding = Decoding.Of("""
            [
              {"bn":"urn:dev:ow:10e2073a01080063:","n":"temp","u":"Cel","v":23.1},
              {"n":"label","vs":"Machine Room"},
              {"n":"open","vb":false},
              {"n":"nfc-reader","vd":"aGkgCg"}
            ]
            """, register, "works/t");
        Assert.Equal(["T GasTemperature 2025-06-03T07:30:00Z 296.25"], decoding.Lines);
        Assert.Equal(3, decoding.Outcome.RejectedCount);
    }

    /// <summary>RFC 8428 section 5.1.6: the last record takes its base name from the third and its base time from the first.</summary>
    [Fact]
    public void Base_fields_hold_until_they_are_given_anew_as_in_section_5_1_6()
    {
        VesselRegister register = TestRegister.Of(
            TestRegister.Thermometer("B", "works/t", "2001:db8::2/temperature"),
            TestRegister.Thermometer("A", "works/t", "2001:db8::1/temperature"));
        Decoding decoding = Decoding.Of("""
            [
              {"bn":"2001:db8::2/","bt":1.320078429e+09,"n":"temperature","u":"Cel","v":25.2},
              {"n":"humidity","u":"%RH","v":30},
              {"bn":"2001:db8::1/","n":"temperature","u":"Cel","v":12.3},
              {"n":"humidity","u":"%RH","v":67}
            ]
            """, register, "works/t", door: Decoding.DoorOf2010);
        Assert.Equal(["B GasTemperature 2011-10-31T16:27:09Z 298.35", "A GasTemperature 2011-10-31T16:27:09Z 285.45"], decoding.Lines);
        Assert.Equal(
            ["record 2 (2001:db8::2/humidity)", "record 4 (2001:db8::1/humidity)"], decoding.Outcome.Rejected.Select(part => part.Place));
    }

    /// <summary>RFC 8428 section 4.5.3: from 2^28 s times are absolute, below they count from now.</summary>
    [Theory]
    [InlineData("\"t\":268435456", "1978-07-04T21:24:16Z")]
    [InlineData("\"t\":268435455", "2033-12-05T04:54:15Z")]
    [InlineData("\"t\":0", "2025-06-03T07:30:00Z")]
    [InlineData("\"t\":-60.5", "2025-06-03T07:28:59.5Z")]
    [InlineData("\"t\":90", "2025-06-03T07:31:30Z")]
    [InlineData("\"bt\":268435400,\"t\":56", "1978-07-04T21:24:16Z")]
    [InlineData("\"bt\":1748935800,\"t\":-300", "2025-06-03T07:25:00Z")]
    [InlineData("\"bt\":-60,\"t\":-5", "2025-06-03T07:28:55Z")]
    public void Times_are_absolute_from_2_to_the_28(string times, string instant)
    {
        Decoding decoding = Decoding.Of(
            $$"""[{"n":"gas-temperature","v":20,{{times}}}]""",
            door: new() { Earliest = DateTimeOffset.UnixEpoch, AcceptsAnyFuture = true });
        Assert.Equal([$"A1 GasTemperature {instant} 293.15"], decoding.Lines);
    }

    [Theory]
    [InlineData("""{"n":"gas-pressure","v":101.5}""", "A1 GasPressure 2025-06-03T07:30:00Z 10150000")]
    [InlineData("""{"n":"gas-pressure","u":"Pa","v":1.015e7}""", "A1 GasPressure 2025-06-03T07:30:00Z 10150000")]
    [InlineData("""{"n":"gas-pressure","u":"hPa","v":101500}""", "A1 GasPressure 2025-06-03T07:30:00Z 10150000")]
    [InlineData("""{"n":"gas-pressure","u":"bar","v":101.5}""", "A1 GasPressure 2025-06-03T07:30:00Z 10150000")]
    [InlineData("""{"n":"gas-pressure","bv":100,"v":1.5}""", "A1 GasPressure 2025-06-03T07:30:00Z 10150000")]
    [InlineData("""{"n":"gas-pressure","bv":101.5}""", "A1 GasPressure 2025-06-03T07:30:00Z 10150000")]
    [InlineData("""{"n":"gas-pressure","v":101.5,"s":3,"ut":60,"bs":2,"note":{"a":[1,2]}}""", "A1 GasPressure 2025-06-03T07:30:00Z 10150000")]
    [InlineData("""{"n":"gas-temperature","u":"K","v":293.15}""", "A1 GasTemperature 2025-06-03T07:30:00Z 293.15")]
    [InlineData("""{"n":"released","vb":true}""", "A1 Depressurised 2025-06-03T07:30:00Z 1")]
    [InlineData("""{"n":"released","vb":false}""", "A1 Depressurised 2025-06-03T07:30:00Z 0")]
    [InlineData("""{"n":"released","u":"/","v":1}""", "A1 Depressurised 2025-06-03T07:30:00Z 1")]
    [InlineData("""{"n":"gas\u002dpressure","v":101.5}""", "A1 GasPressure 2025-06-03T07:30:00Z 10150000")]
    [InlineData("""{"bver":26,"n":"gas-pressure","u":"hPa","v":101500}""", "A1 GasPressure 2025-06-03T07:30:00Z 10150000")]
    public void Values_and_units_become_si(string record, string line)
    {
        Decoding decoding = Decoding.Of($"[{record}]");
        Assert.Equal([line], decoding.Lines);
        Assert.False(decoding.Outcome.HasRejected);
    }

    [Theory]
    [InlineData("""{"n":"gas-pressure","u":"kPa","v":10150}""", "its unit 'kPa' is in no SenML registry, and the register says 'bar'; let the two agree")]
    [InlineData("""{"n":"gas-pressure","u":"Cel","v":20}""", "its unit 'Cel' does not fit GasPressure")]
    [InlineData("""{"n":"gas-pressure","u":"furlong","v":20}""", "its unit 'furlong' is not known")]
    [InlineData("""{"n":"gas-pressure","u":7,"v":20}""", "its field 'u' is no text of at most 512 bytes")]
    [InlineData("""{"n":7,"v":20}""", "its field 'n' is no text of at most 512 bytes")]
    [InlineData("""{"n":"gas-pressure","v":"101.5"}""", "its field 'v' is no number")]
    [InlineData("""{"n":"gas-pressure","v":null}""", "its field 'v' is no number")]
    [InlineData("""{"n":"gas-pressure","v":1e999}""", "its field 'v' is no number")]
    [InlineData("""{"n":"gas-pressure","t":"now","v":100}""", "its field 't' is no number")]
    [InlineData("""{"n":"gas-pressure","t":1e300,"v":100}""", "its time 1E+300 s is no instant of the calendar")]
    [InlineData("""{"n":"gas-pressure","v":100,"vb":true}""", "it has more than one value")]
    [InlineData("""{"n":"gas-pressure","vb":true}""", "its value is true or false (vb); a number (v) is needed")]
    [InlineData("""{"n":"gas-pressure","s":100}""", "it holds a sum (s) and no value; sums are not used here")]
    [InlineData("""{"bv":0,"n":"gas-pressure","s":100}""", "it holds a sum (s) and no value; sums are not used here")]
    [InlineData("""{"n":"gas pressure","v":100}""", "its name holds a character that SenML does not allow: A-Z, a-z, 0-9, - : . / _ are, and the first is a letter or digit")]
    [InlineData("""{"n":"-gas","v":100}""", "its name holds a character that SenML does not allow: A-Z, a-z, 0-9, - : . / _ are, and the first is a letter or digit")]
    [InlineData("""{"n":"gas-pressure"}""", "it has no value")]
    [InlineData("""{"n":"released","vb":1}""", "its field 'vb' is neither true nor false")]
    [InlineData("""{"n":"released","v":0.5}""", "the contact reads 0.5; allowed is 0 or 1")]
    [InlineData("""{"n":"gas-pressure","v":440.1}""", "440.1 bar lies outside the range of the sensor with its margin, -40 to 440 bar; check unit, sensor and wiring")]
    [InlineData("""{"n":"gas-temperature","v":141.6}""", "141.6 Cel lies outside the range of the sensor with its margin, -56.5 to 141.5 Cel; check unit, sensor and wiring")]
    [InlineData("""{"n":"gas-pressure","t":1420070399,"v":100}""", "the time 2014-12-31T23:59:59Z lies before 2015-01-01; set the clock of the source")]
    [InlineData("""{"n":"gas-pressure","t":86400.001,"v":100}""", "the time 2025-06-04T07:30:00Z lies more than 24 h after its arrival; set the clock of the source")]
    public void A_bad_record_is_set_aside_with_its_reason_and_the_good_ones_are_taken(string record, string reason)
    {
        Decoding decoding = Decoding.Of($$"""[{"n":"fluid-pressure","v":1},{{record}},{"n":"gas-temperature","v":20}]""");
        Assert.Equal(
            ["A1 FluidPressure 2025-06-03T07:30:00Z 100000", "A1 GasTemperature 2025-06-03T07:30:00Z 293.15"], decoding.Lines);
        RejectedPart part = Assert.Single(decoding.Outcome.Rejected);
        Assert.StartsWith("record 2", part.Place, StringComparison.Ordinal);
        Assert.Equal(reason, part.Reason);
    }

    [Theory]
    [InlineData("""{"bn":7,"n":"x","v":1}""", "its field 'bn' is no text of at most 512 bytes")]
    [InlineData("""{"bt":"x","n":"gas-pressure","v":1}""", "its field 'bt' is no number")]
    [InlineData("""{"bu":1,"n":"gas-pressure","v":1}""", "its field 'bu' is no text of at most 512 bytes")]
    [InlineData("""{"bv":"1","n":"gas-pressure","v":1}""", "its field 'bv' is no number")]
    [InlineData("""{"bver":11,"n":"gas-pressure","v":1}""", "SenML version (bver) 11 is not known; 1 to 10 and 26 are")]
    [InlineData("""{"n":"gas-pressure","v":1,"mode_":1}""", "its field 'mode_' has to be understood, as its last character says, and is not")]
    public void What_spoils_the_resolution_gives_up_the_whole_pack(string record, string reason)
    {
        Decoding decoding = Decoding.Of($$"""[{"bver":5,"n":"fluid-pressure","v":1},{{record}},{"n":"gas-temperature","v":20}]""");
        Assert.Empty(decoding.Readings);
        Assert.Equal(new RejectedPart("payload", reason), Assert.Single(decoding.Outcome.Rejected));
    }

    [Fact]
    public void A_pack_with_two_versions_is_given_up()
    {
        Decoding decoding = Decoding.Of("""[{"bver":5,"n":"fluid-pressure","v":1},{"bver":10,"n":"fluid-pressure","v":1}]""");
        Assert.Empty(decoding.Readings);
        Assert.Contains("two SenML versions", decoding.Outcome.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void A_record_of_base_fields_alone_gives_no_reading()
    {
        Decoding decoding = Decoding.Of("""[{"bn":"gas-","bt":1748935800},{"n":"pressure","v":100},{"n":"temperature","v":20}]""");
        Assert.Equal(["A1 GasPressure 2025-06-03T07:30:00Z 10000000", "A1 GasTemperature 2025-06-03T07:30:00Z 293.15"], decoding.Lines);
        Assert.False(decoding.Outcome.HasRejected);
    }

    [Fact]
    public void The_one_signal_of_a_topic_takes_any_one_name()
    {
        VesselRegister register = TestRegister.Of(TestRegister.Thermometer("T", "works/t", null));
        Decoding decoding = Decoding.Of("""[{"n":"temp","v":20,"t":1748935800},{"n":"temp","v":21,"t":1748935801},{"n":"rpm","v":22}]""", register, "works/t");
        Assert.Equal(["T GasTemperature 2025-06-03T07:30:00Z 293.15", "T GasTemperature 2025-06-03T07:30:01Z 294.15"], decoding.Lines);
        Assert.Equal(1, decoding.Outcome.RejectedCount);
    }

    [Fact]
    public void A_kept_message_gives_only_readings_with_a_time_of_their_own()
    {
        Decoding decoding = Decoding.Of(
            """[{"n":"gas-pressure","v":100,"t":1748935800},{"n":"gas-temperature","v":20},{"n":"gas-temperature","t":-5,"v":20}]""",
            arrivalIsReadingTime: false);
        Assert.Equal(["A1 GasPressure 2025-06-03T07:30:00Z 10000000"], decoding.Lines);
        Assert.Equal(2, decoding.Outcome.RejectedCount);
    }

    [Fact]
    public void Many_bad_records_are_counted_and_the_first_described()
    {
        string pack = "[" + string.Join(",", Enumerable.Repeat("""{"n":"gas-pressure","v":9999}""", 100)) + "]";
        Decoding decoding = Decoding.Of(pack);
        Assert.Equal(100, decoding.Outcome.RejectedCount);
        Assert.Equal(DecodedPayload.MostDescribed, decoding.Outcome.Rejected.Count);
        Assert.EndsWith("; and 92 more", decoding.Outcome.Reason, StringComparison.Ordinal);
    }
}
