using DriftWatch.Acquisition.Door;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;

namespace DriftWatch.Acquisition.Payloads;

/// <summary>Where the formats put what they find in one payload: readings to the caller's list, the rest to the rejected parts.</summary>
internal sealed class PayloadIntake(List<VesselReading> readings, DateTimeOffset arrived, bool arrivalIsReadingTime, bool sentAgain = false)
{
    private readonly int _before = readings.Count;
    private List<RejectedPart>? _rejected;
    private int _rejectedCount;
    private List<QuarantinedMessage>? _late;

    /// <summary>When the payload came, UTC.</summary>
    public DateTimeOffset Arrived => arrived;

    /// <summary>Whether a reading without a time of its own may be taken as true at its arrival.</summary>
    public bool ArrivalIsReadingTime => arrivalIsReadingTime;

    /// <summary>Whether the broker says that it has sent the payload before.</summary>
    public bool SentAgain => sentAgain;

    /// <summary>Whether the payload waits, whole, for another one to be read by.</summary>
    public bool Held { get; set; }

    /// <summary>How many readings were taken of payloads that waited for this one; they stand after its own.</summary>
    public int TakenLate { get; set; }

    /// <summary>Topic to ask a Sparkplug node on for its birth certificates; null where there is no need.</summary>
    public string? RebirthTopic { get; set; }

    public const string NoTime =
        "it has no time of its own, and this message was kept by the broker, so that its arrival says nothing of when it was true; let the source send the time, or not retain the message";

    /// <summary>An intake for another payload that is read at this moment, into the same list.</summary>
    public PayloadIntake For(DateTimeOffset arrivedThen, bool arrivalIsReadingTimeThen) => new(readings, arrivedThen, arrivalIsReadingTimeThen);

    /// <summary>Sets a payload aside that came before.</summary>
    public void SetAsideLate(QuarantinedMessage message) => (_late ??= []).Add(message);

    public void Reject(string place, string reason)
    {
        _rejectedCount++;
        _rejected ??= [];
        if (_rejected.Count < DecodedPayload.MostDescribed)
        {
            _rejected.Add(new RejectedPart(place, reason));
        }
    }

    public void RejectRecord(int index, ReadOnlySpan<byte> name, string reason)
    {
        // The text is only made where it is kept: a hostile pack may hold thousands of bad records.
        if (_rejected?.Count >= DecodedPayload.MostDescribed)
        {
            _rejectedCount++;
            return;
        }

        Reject(Place(index, name), reason);
    }

    /// <summary>Offers a number to the door.</summary>
    public void Offer(DoorEntry entry, double number, SourceUnit? unit, DateTimeOffset instant, int index, ReadOnlySpan<byte> name)
    {
        string? whyNot = entry.TryTake(number, unit, instant, arrived, out VesselReading reading);
        if (whyNot is null)
        {
            readings.Add(reading);
        }
        else
        {
            RejectRecord(index, name, whyNot);
        }
    }

    /// <summary>Gives up the whole payload: nothing of it is taken, one reason stands for all.</summary>
    public void GiveUp(string reason)
    {
        readings.RemoveRange(_before, readings.Count - _before);
        _rejected = null;
        _rejectedCount = 0;
        Reject("payload", reason);
    }

    public DecodedPayload Close() => new(readings.Count - _before, _rejectedCount, _rejected ?? (IReadOnlyList<RejectedPart>)[])
    {
        RebirthTopic = RebirthTopic,
        Held = Held,
        TakenLate = TakenLate,
        Late = _late ?? (IReadOnlyList<QuarantinedMessage>)[],
    };

    private static string Place(int index, ReadOnlySpan<byte> name)
    {
        string record = string.Create(System.Globalization.CultureInfo.InvariantCulture, $"record {index + 1}");
        return name.IsEmpty ? record : $"{record} ({System.Text.Encoding.UTF8.GetString(name[..Math.Min(name.Length, 80)])})";
    }
}
