using DriftWatch.Acquisition.Payloads;
using DriftWatch.Plant.Readings;

namespace DriftWatch.Fuzz;

/// <summary>What must hold of the answer to any payload whatsoever.</summary>
internal sealed class DecoderCheck
{
    private static readonly DateTimeOffset Arrived = new(2025, 6, 3, 7, 30, 0, TimeSpan.Zero);
    private static readonly DateTimeOffset Earliest = new(1990, 1, 1, 0, 0, 0, TimeSpan.Zero);

    private readonly ReadingDecoder _decoder = new(FuzzRegister.Create());
    private long _withReadings;
    private long _withReasons;

    /// <summary>Cases that brought readings.</summary>
    public long WithReadings => Interlocked.Read(ref _withReadings);

    /// <summary>Cases of which something was set aside.</summary>
    public long WithReasons => Interlocked.Read(ref _withReasons);

    /// <summary>Decodes, and throws where the answer breaks a rule.</summary>
    public void Run(PayloadCase one)
    {
        List<VesselReading> readings = [default];
        DecodedPayload outcome = _decoder.Decode(one.Topic, one.Payload, Arrived, arrivalIsReadingTime: true, readings);
        if (outcome.Taken > 0)
        {
            Interlocked.Increment(ref _withReadings);
        }

        if (outcome.HasRejected)
        {
            Interlocked.Increment(ref _withReasons);
        }

        Require(readings.Count == outcome.Taken + 1, "what was in the list stays, and what is taken is counted");
        Require(outcome.RejectedCount == 0 || outcome.Reason.Length > 0, "what is not taken has a reason");
        foreach (VesselReading reading in readings.Skip(1))
        {
            Require(double.IsFinite(reading.Reading.Value), "a reading is finite");
            Require(reading.Reading.Instant >= Earliest && reading.Reading.Instant <= Arrived.AddDays(1), "an instant lies within the door's bounds");
            Require(reading.Reading.Instant.Ticks % TimeSpan.TicksPerMicrosecond == 0, "an instant is a whole number of microseconds");
        }
    }

    private static void Require(bool holds, string rule)
    {
        if (!holds)
        {
            throw new InvalidOperationException($"Broken: {rule}.");
        }
    }
}
