using System.Globalization;
using System.Text;
using DriftWatch.Acquisition.Door;
using DriftWatch.Acquisition.Payloads;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;

namespace DriftWatch.Acquisition.Tests.Payloads;

/// <summary>Decodes one payload and writes the readings as text, so that a test shows them whole.</summary>
internal sealed class Decoding
{
    public static readonly DateTimeOffset Arrived = new(2025, 6, 3, 7, 30, 0, TimeSpan.Zero);

    /// <summary>A door for the examples of RFC 8428, which are dated 2010 and 2011.</summary>
    public static readonly ReadingDoorOptions DoorOf2010 = new() { Earliest = new DateTimeOffset(2010, 1, 1, 0, 0, 0, TimeSpan.Zero) };

    private Decoding(List<VesselReading> readings, DecodedPayload outcome)
    {
        Readings = readings;
        Outcome = outcome;
    }

    public List<VesselReading> Readings { get; }

    public DecodedPayload Outcome { get; }

    public string[] Lines => [.. Readings.Select(reading => string.Create(
        CultureInfo.InvariantCulture,
        $"{reading.VesselId} {reading.Reading.Signal} {reading.Reading.Instant.UtcDateTime:yyyy-MM-ddTHH:mm:ss.FFFFFFFZ} {reading.Reading.Value:0.######}"))];

    public static Decoding Of(
        string payload,
        VesselRegister? register = null,
        string topic = "works/a1",
        bool arrivalIsReadingTime = true,
        PayloadOptions? options = null,
        ReadingDoorOptions? door = null) =>
        Of(Encoding.UTF8.GetBytes(payload), register, topic, arrivalIsReadingTime, options, door);

    public static Decoding Of(
        byte[] payload,
        VesselRegister? register = null,
        string topic = "works/a1",
        bool arrivalIsReadingTime = true,
        PayloadOptions? options = null,
        ReadingDoorOptions? door = null)
    {
        List<VesselReading> readings = [];
        ReadingDecoder decoder = new(register ?? TestRegister.OneVessel, options, door);
        DecodedPayload outcome = decoder.Decode(topic, payload, Arrived, arrivalIsReadingTime, readings);
        Assert.Equal(readings.Count, outcome.Taken);
        return new Decoding(readings, outcome);
    }
}
