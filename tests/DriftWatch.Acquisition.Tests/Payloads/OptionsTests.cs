using DriftWatch.Acquisition.Door;
using DriftWatch.Acquisition.Payloads;
using DriftWatch.Plant.Register;

namespace DriftWatch.Acquisition.Tests.Payloads;

public class OptionsTests
{
    [Fact]
    public void Payload_options_out_of_range_are_told_together()
    {
        PayloadOptions options = new() { TimeField = "", Time = (SourceTime)99, LargestPayloadBytes = 0, MostRecords = 0, DeepestNesting = 1 };
        Assert.Equal(
            "TimeField is empty; name the field that holds the time. "
            + "Time is 99; allowed are Recognised, Rfc3339, EpochSeconds, EpochMilliseconds, EpochMicroseconds, EpochNanoseconds. "
            + "LargestPayloadBytes is 0; allowed is 1 to 268435456. MostRecords is 0; allowed is 1 to 2147483647. DeepestNesting is 1; allowed is 2 to 64.",
            Assert.Throws<ArgumentException>(() => new ReadingDecoder(TestRegister.OneVessel, options)).Message);
    }

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(-0.1)]
    [InlineData(10.1)]
    public void A_door_with_a_margin_out_of_range_is_refused(double margin)
    {
        ReadingDoorOptions options = new() { RangeMargin = margin, FutureTolerance = TimeSpan.FromSeconds(-1) };
        string message = Assert.Throws<ArgumentException>(() => new ReadingDecoder(TestRegister.OneVessel, door: options)).Message;
        Assert.Contains("allowed is 0 to 10.", message, StringComparison.Ordinal);
        Assert.Contains("FutureTolerance is -00:00:01; allowed is 0 or more.", message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_replay_takes_any_future_instant()
    {
        const string Payload = """[{"n":"gas-temperature","v":20,"t":4102444800}]""";
        Assert.Empty(Decoding.Of(Payload).Readings);

        // 4102444800 s is 2100-01-01T00:00:00Z (by date -u -d @4102444800).
        Assert.Equal(["A1 GasTemperature 2100-01-01T00:00:00Z 293.15"], Decoding.Of(Payload, door: new() { AcceptsAnyFuture = true }).Lines);
    }

    /// <summary>A tenth of the span of 0 to 400 bar is 40 bar: the ends of the margin are taken, what lies beyond is not.</summary>
    [Theory]
    [InlineData("440", 1)]
    [InlineData("-40", 1)]
    [InlineData("440.0001", 0)]
    [InlineData("-40.0001", 0)]
    public void The_margin_around_the_range_holds_its_ends(string value, int taken) =>
        Assert.Equal(taken, Decoding.Of($$"""[{"n":"gas-pressure","v":{{value}}}]""").Outcome.Taken);
}
