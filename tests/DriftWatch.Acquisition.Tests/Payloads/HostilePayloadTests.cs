using System.Text;
using CsCheck;
using DriftWatch.Acquisition.Payloads;
using DriftWatch.Plant.Readings;

namespace DriftWatch.Acquisition.Tests.Payloads;

/// <summary>Whatever comes, the decoder answers with readings and reasons, and never throws.</summary>
public class HostilePayloadTests
{
    private static readonly ReadingDecoder Decoder = new(TestRegister.Of(
        TestRegister.Vessel("A1", "works/a1"), TestRegister.Thermometer("T", "works/t", null)));

    private static readonly string[] Corpus =
    [
        """[{"bn":"gas-","bt":1748935800,"bu":"bar","bver":10,"n":"pressure","v":100},{"n":"temperature","u":"Cel","v":20,"t":-5},{"bn":"","n":"released","vb":true}]""",
        """{ "gas-pressure": 101.5, "gas-temperature": 20, "released": true, "motor": { "rpm": [1, 2] }, "time": "2025-06-03T09:15:00+02:00" }""",
        """[{"time":1748935800250,"gas\u002dpressure":1e2},{"time":null,"fluid-pressure":-0.5E-3}]""",
        """[{"n":"\ud800","v":1},{"n":"gas-pressure","u":"\u0000\uffff","v":1,"vs":"a","s":[{}]}]""",
    ];

    [Theory]
    [InlineData("")]
    [InlineData("no JSON")]
    [InlineData("[")]
    [InlineData("""[{"n":"gas-pressure","v":100}""")]
    [InlineData("""[{"n":"gas-pressure","v":100}] 7""")]
    [InlineData("""[{"n":"gas-pressure","v":NaN}]""")]
    [InlineData("[[[[[[[[[[[[[[[[1]]]]]]]]]]]]]]]]")]
    [InlineData("\"text\"")]
    [InlineData("7")]
    [InlineData("null")]
    public void A_payload_that_cannot_be_read_is_set_aside_whole(string payload)
    {
        Decoding decoding = Decoding.Of(payload);
        Assert.Empty(decoding.Readings);
        Assert.Equal("payload", Assert.Single(decoding.Outcome.Rejected).Place);
    }

    [Fact]
    public void Bytes_that_are_no_utf8_are_set_aside()
    {
        byte[] payload = [.. "[{\"n\":\""u8, 0xC3, 0x28, .. "\",\"v\":1}]"u8];
        Decoding decoding = Decoding.Of(payload);
        Assert.Empty(decoding.Readings);
        Assert.True(decoding.Outcome.HasRejected);
    }

    [Fact]
    public void A_byte_order_mark_is_passed_over() =>
        Assert.Single(Decoding.Of("\uFEFF[{\"n\":\"gas-pressure\",\"v\":100}]").Readings);

    [Fact]
    public void Unknown_topics_and_oversized_payloads_are_set_aside()
    {
        Assert.Contains("no vessel of the register has this topic", Decoding.Of("7", topic: "works/other").Outcome.Reason, StringComparison.Ordinal);
        PayloadOptions small = new() { LargestPayloadBytes = 10 };
        Assert.Contains("more than the 10 allowed", Decoding.Of("""{"gas-pressure":100}""", options: small).Outcome.Reason, StringComparison.Ordinal);
        PayloadOptions few = new() { MostRecords = 1 };
        Assert.Empty(Decoding.Of("""[{"n":"gas-pressure","v":100},{"n":"gas-pressure","v":100}]""", options: few).Readings);
        Assert.Empty(Decoding.Of("""[{"time":1748935800,"gas-pressure":100},{"time":1748935800,"gas-pressure":100}]""", options: few).Readings);
    }

    [Fact]
    public void Random_bytes_never_throw() =>
        Gen.Byte.Array[0, 200].Sample(bytes => Survives(bytes), iter: 20_000);

    [Fact]
    public void Random_json_never_throws()
    {
        Gen<string> leaf = Gen.OneOf(
            Gen.Double.Select(number => double.IsFinite(number) ? number.ToString("R", System.Globalization.CultureInfo.InvariantCulture) : "null"),
            OneOf("true", "false", "null", "{}", "[]", "1748935800", "-1e400", "\"2025-06-03T07:30:00Z\"", "\"bar\"", "\"gas-pressure\"", "\"\\ud83d\""));
        Gen<string> name = OneOf("n", "bn", "v", "vb", "vs", "u", "bu", "t", "bt", "bv", "bver", "s", "x_", "time", "value", "gas-pressure", "released");
        Gen<string> record = Gen.Select(name, leaf, (field, value) => $"\"{field}\":{value}").Array[0, 6].Select(fields => "{" + string.Join(",", fields) + "}");
        Gen.Select(record.Array[0, 4], leaf).Sample(
            (records, bare) => Survives(Encoding.UTF8.GetBytes("[" + string.Join(",", records) + "]"))
                && Survives(Encoding.UTF8.GetBytes(records.Length == 0 ? bare : records[0])),
            iter: 20_000);
    }

    [Fact]
    public void Spoilt_payloads_never_throw()
    {
        Gen.Select(OneOf(Corpus), Gen.Int[0, 300], Gen.Byte, Gen.Int[0, 300], Gen.Int[0, 20]).Sample(
            (text, at, put, from, cut) =>
            {
                List<byte> bytes = [.. Encoding.UTF8.GetBytes(text)];
                bytes[at % bytes.Count] = put;
                from %= bytes.Count;
                bytes.RemoveRange(from, Math.Min(cut, bytes.Count - from));
                return Survives([.. bytes]);
            },
            iter: 20_000);
    }

    private static Gen<string> OneOf(params string[] texts) => Gen.Int[0, texts.Length - 1].Select(index => texts[index]);

    private static bool Survives(byte[] payload)
    {
        foreach (string topic in (string[])["works/a1", "works/t"])
        {
            List<VesselReading> readings = [default];
            DecodedPayload outcome = Decoder.Decode(topic, payload, Decoding.Arrived, true, readings);

            // What was in the list stays, what is taken is finite, and what is not taken has a reason.
            if (readings.Count != outcome.Taken + 1
                || readings.Any(reading => !double.IsFinite(reading.Reading.Value))
                || (outcome.RejectedCount > 0 && outcome.Reason.Length == 0))
            {
                return false;
            }
        }

        return true;
    }
}
