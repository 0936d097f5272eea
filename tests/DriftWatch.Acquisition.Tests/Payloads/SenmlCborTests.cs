using System.Formats.Cbor;
using DriftWatch.Acquisition.Payloads;
using DriftWatch.Plant.Register;

namespace DriftWatch.Acquisition.Tests.Payloads;

/// <summary>SenML CBOR by RFC 8428 section 6. Both representations go the same way once read, so JSON is the second opinion.</summary>
public class SenmlCborTests
{
    /// <summary>
    /// RFC 8428 section 6, the dump of the pack of section 5.1.2, byte for byte. Its units are V and A (0x56 after
    /// 01 61, 0x41 after 23 61).
    /// </summary>
    private const string RfcExample = """
        87 a7 21 78 1b 75 72 6e 3a 64 65 76 3a 6f 77 3a
        31 30 65 32 30 37 33 61 30 31 30 38 30 30 36 3a
        22 fb 41 d3 03 a1 5b 00 10 62 23 61 41 20 05 00
        67 76 6f 6c 74 61 67 65 01 61 56 02 fb 40 5e 06
        66 66 66 66 66 a3 00 67 63 75 72 72 65 6e 74 06
        24 02 fb 3f f3 33 33 33 33 33 33 a3 00 67 63 75
        72 72 65 6e 74 06 23 02 fb 3f f4 cc cc cc cc cc
        cd a3 00 67 63 75 72 72 65 6e 74 06 22 02 fb 3f
        f6 66 66 66 66 66 66 a3 00 67 63 75 72 72 65 6e
        74 06 21 02 f9 3e 00 a3 00 67 63 75 72 72 65 6e
        74 06 20 02 fb 3f f9 99 99 99 99 99 9a a3 00 67
        63 75 72 72 65 6e 74 06 00 02 fb 3f fb 33 33 33
        33 33 33
        """;

    private static readonly VesselRegister RfcNames = TestRegister.Of(
        TestRegister.Thermometer("V", "works/t", "urn:dev:ow:10e2073a0108006:voltage"),
        TestRegister.Thermometer("C", "works/t", "urn:dev:ow:10e2073a0108006:current"));

    [Fact]
    public void The_example_of_section_6_is_read_and_its_units_are_no_temperatures()
    {
        Decoding decoding = Decoding.Of(Bytes(RfcExample), RfcNames, "works/t");
        Assert.Empty(decoding.Readings);
        Assert.Equal(7, decoding.Outcome.RejectedCount);
        Assert.Equal(
            "record 1 (urn:dev:ow:10e2073a0108006:voltage): its unit 'V' is not known", decoding.Outcome.Rejected[0].ToString());
        Assert.Equal(
            "record 7 (urn:dev:ow:10e2073a0108006:current): its unit 'A' is not known", decoding.Outcome.Rejected[6].ToString());
    }

    /// <summary>The same bytes with K (0x4B) for both units: values and times are those of section 5.1.2.</summary>
    [Fact]
    public void The_example_of_section_6_gives_its_values_and_times()
    {
        string kelvins = RfcExample.Replace("23 61 41", "23 61 4b", StringComparison.Ordinal).Replace("01 61 56", "01 61 4b", StringComparison.Ordinal);
        VesselRegister wide = TestRegister.Of(
            TestRegister.Thermometer("V", "works/t", "urn:dev:ow:10e2073a0108006:voltage").Replace("[-40, 125]", "[-200, 1000]", StringComparison.Ordinal),
            TestRegister.Thermometer("C", "works/t", "urn:dev:ow:10e2073a0108006:current").Replace("[-40, 125]", "[-200, 1000]", StringComparison.Ordinal));

        // 1.2 K lies 72 K below -200 degrees C: within the wider margin of this door.
        Decoding decoding = Decoding.Of(Bytes(kelvins), wide, "works/t", door: Decoding.DoorOf2010 with { RangeMargin = 0.1 });
        Assert.Equal(
            [
                "V GasTemperature 2010-06-08T18:01:16.001Z 120.1",
                "C GasTemperature 2010-06-08T18:01:11.001Z 1.2",
                "C GasTemperature 2010-06-08T18:01:12.001Z 1.3",
                "C GasTemperature 2010-06-08T18:01:13.001Z 1.4",
                "C GasTemperature 2010-06-08T18:01:14.001Z 1.5",
                "C GasTemperature 2010-06-08T18:01:15.001Z 1.6",
                "C GasTemperature 2010-06-08T18:01:16.001Z 1.7",
            ],
            decoding.Lines);
        Assert.False(decoding.Outcome.HasRejected);
    }

    [Fact]
    public void Both_representations_resolve_alike()
    {
        const string Json = """
            [
              {"bn":"gas-","bt":1748935800,"bu":"bar","bver":10,"n":"pressure","v":101.5},
              {"n":"temperature","u":"Cel","v":20.25,"t":-5},
              {"bn":"","n":"released","vb":true},
              {"n":"fluid-pressure","bv":1,"v":0.5},
              {"n":"fluid-pressure","vs":"no number"},
              {"n":"fluid-pressure","v":1,"vb":true}
            ]
            """;
        byte[] cbor = Pack(
            [(-2, "gas-"), (-3, 1748935800L), (-4, "bar"), (-1, 10L), (0, "pressure"), (2, 101.5)],
            [(0, "temperature"), (1, "Cel"), (2, 20.25), (6, -5L)],
            [(-2, ""), (0, "released"), (4, true)],
            [(0, "fluid-pressure"), (-5, 1L), (2, 0.5)],
            [(0, "fluid-pressure"), (3, "no number")],
            [(0, "fluid-pressure"), (2, 1L), (4, true)]);
        Decoding expected = Decoding.Of(Json);
        Decoding decoding = Decoding.Of(cbor);
        Assert.Equal(4, decoding.Readings.Count);
        Assert.Equal(expected.Lines, decoding.Lines);
        Assert.Equal(expected.Outcome.Reason, decoding.Outcome.Reason);

        // The tag that says 'CBOR follows' changes nothing (RFC 8949 section 3.4.6).
        Assert.Equal(expected.Lines, Decoding.Of([0xD9, 0xD9, 0xF7, .. cbor]).Lines);
    }

    /// <summary>RFC 8428 section 6: whole numbers, floats of three sizes and decimal fractions (RFC 8949 section 3.4.4) are numbers.</summary>
    [Theory]
    [InlineData("14", 20)]
    [InlineData("2b", -12)]
    [InlineData("f94d00", 20)]
    [InlineData("fa41a20000", 20.25)]
    [InlineData("fb4034400000000000", 20.25)]
    [InlineData("c482211907e9", 20.25)]
    public void Every_kind_of_number_is_read(string value, double celsius)
    {
        Decoding decoding = Decoding.Of(Bytes($"81 a2 00 6f {Hex("gas-temperature")} 02 {value}"));
        Assert.Equal(celsius + 273.15, Assert.Single(decoding.Readings).Reading.Value, 1e-9);
    }

    [Theory]
    [InlineData("f97e00", "its field 'v' is no number")] // NaN
    [InlineData("f97c00", "its field 'v' is no number")] // infinity
    [InlineData("623230", "its field 'v' is no number")] // a text
    [InlineData("f6", "its field 'v' is no number")] // null
    [InlineData("8101", "its field 'v' is no number")] // an array
    [InlineData("c4821901f401", "its field 'v' is no number")] // 1e500
    public void What_is_no_number_spoils_its_record_alone(string value, string reason)
    {
        byte[] payload = Bytes($"82 a2 00 6f {Hex("gas-temperature")} 02 {value} a2 00 6f {Hex("gas-temperature")} 02 14");
        Decoding decoding = Decoding.Of(payload);
        Assert.Single(decoding.Readings);
        Assert.Equal(reason, Assert.Single(decoding.Outcome.Rejected).Reason);
    }

    [Theory]
    [InlineData("a1 02 14", "array of records")] // a map
    [InlineData("81 a1 02", "begins as CBOR and is none")] // torn
    [InlineData("81 a1 02 14 00", "something follows")]
    [InlineData("81 a1 62 78 5f 01", "has to be understood")] // "x_"
    [InlineData("81 a1 f4 01", "a label in it")]
    [InlineData("81 a1 23 01", "its field 'bu' is no text")]
    [InlineData("81 a1 20 18 63", "is not known")] // bver 99
    [InlineData("81 a1 18 63 81 81 81 81 81 81 81 81 81 81 01", "deeper than 8 levels")]
    public void A_pack_that_cannot_be_resolved_is_set_aside_whole(string hex, string reason)
    {
        Decoding decoding = Decoding.Of(Bytes(hex));
        Assert.Empty(decoding.Readings);
        Assert.Contains(reason, decoding.Outcome.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void Pieces_of_unknown_length_are_read()
    {
        // 9f .. ff and bf .. ff: array and map of unknown length; 7f 64 "gas-" 6b "temperature" ff: a text in two pieces.
        byte[] payload = Bytes($"9f bf 00 7f 64 {Hex("gas-")} 6b {Hex("temperature")} ff 02 14 ff ff");
        Assert.Single(Decoding.Of(payload).Readings);
    }

    [Fact]
    public void Too_many_records_are_set_aside() =>
        Assert.Contains("more than 1 records", Decoding.Of(Bytes("82 a1 02 14 a1 02 14"), options: new PayloadOptions { MostRecords = 1 }).Outcome.Reason, StringComparison.Ordinal);

    private static byte[] Pack(params (int Label, object Value)[][] records)
    {
        CborWriter writer = new();
        writer.WriteStartArray(records.Length);
        foreach ((int Label, object Value)[] record in records)
        {
            writer.WriteStartMap(record.Length);
            foreach ((int label, object value) in record)
            {
                writer.WriteInt32(label);
                switch (value)
                {
                    case long whole:
                        writer.WriteInt64(whole);
                        break;
                    case double number:
                        writer.WriteDouble(number);
                        break;
                    case bool flag:
                        writer.WriteBoolean(flag);
                        break;
                    default:
                        writer.WriteTextString((string)value);
                        break;
                }
            }

            writer.WriteEndMap();
        }

        writer.WriteEndArray();
        return writer.Encode();
    }

    private static string Hex(string text) => Convert.ToHexString(System.Text.Encoding.UTF8.GetBytes(text));

    private static byte[] Bytes(string hex) => Convert.FromHexString(string.Concat(hex.Where(Uri.IsHexDigit)));
}
