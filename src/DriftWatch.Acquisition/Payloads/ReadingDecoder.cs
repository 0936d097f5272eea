using System.Text.Json;
using DriftWatch.Acquisition.Door;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;

namespace DriftWatch.Acquisition.Payloads;

/// <summary>
/// Turns a message (topic, payload) into readings in SI, by what the register says of the topic. Reads SenML JSON
/// (RFC 8428) and plain JSON. Whatever the bytes are, it answers with readings and reasons and never throws. Immutable;
/// safe to use from several threads.
/// </summary>
public sealed class ReadingDecoder
{
    private readonly Dictionary<string, TopicSources> _topics = new(StringComparer.Ordinal);
    private readonly PayloadOptions _options;
    private readonly JsonReaderOptions _json;

    /// <summary>Builds the decoder for a register.</summary>
    /// <exception cref="ArgumentException">An option is out of its range.</exception>
    public ReadingDecoder(VesselRegister register, PayloadOptions? options = null, ReadingDoorOptions? door = null)
    {
        ArgumentNullException.ThrowIfNull(register);
        _options = options ?? new PayloadOptions();
        _options.Validate();
        ReadingDoorOptions doorOptions = door ?? new ReadingDoorOptions();
        doorOptions.Validate();
        _json = new JsonReaderOptions { MaxDepth = _options.DeepestNesting };
        foreach (Vessel vessel in register.Vessels)
        {
            foreach (SignalSource source in vessel.Sources)
            {
                if (!_topics.TryGetValue(source.Topic, out TopicSources? sources))
                {
                    _topics.Add(source.Topic, sources = new TopicSources());
                }

                sources.Add(source.Name, new DoorEntry(vessel, source.Signal, source.Unit, doorOptions));
            }
        }
    }

    /// <summary>The topics of the register, each once.</summary>
    public IReadOnlyCollection<string> Topics => _topics.Keys;

    /// <summary>Decodes one message.</summary>
    /// <param name="topic">Topic it came on.</param>
    /// <param name="payload">Its bytes.</param>
    /// <param name="arrived">When it came, UTC; the time of readings that bring none.</param>
    /// <param name="arrivalIsReadingTime">
    /// False where the arrival says nothing of when a reading was true (a message kept by the broker): readings without a time
    /// of their own are then rejected.
    /// </param>
    /// <param name="readings">Readings taken are added here.</param>
    /// <returns>How many were taken, and what was rejected with its reason.</returns>
    public DecodedPayload Decode(
        string topic, ReadOnlySpan<byte> payload, DateTimeOffset arrived, bool arrivalIsReadingTime, List<VesselReading> readings)
    {
        ArgumentNullException.ThrowIfNull(topic);
        ArgumentNullException.ThrowIfNull(readings);
        DateTimeOffset wholeMicrosecond = new(arrived.UtcTicks / TimeSpan.TicksPerMicrosecond * TimeSpan.TicksPerMicrosecond, TimeSpan.Zero);
        PayloadIntake intake = new(readings, wholeMicrosecond, arrivalIsReadingTime);
        string? fault = WhyNot(topic, payload, out TopicSources? sources);
        if (fault is null)
        {
            try
            {
                fault = Read(payload, sources!, intake);
            }
            catch (JsonException exception)
            {
                fault = $"it is no JSON, or nests deeper than {_options.DeepestNesting} levels: {exception.Message}";
            }
            catch (InvalidOperationException)
            {
                // The JSON reader looks into a text only when it is asked for.
                fault = "a text in it is no valid UTF-8";
            }
        }

        if (fault is not null)
        {
            intake.GiveUp(fault);
        }

        return intake.Close();
    }

    private string? WhyNot(string topic, ReadOnlySpan<byte> payload, out TopicSources? sources) =>
        !_topics.TryGetValue(topic, out sources) ? "no vessel of the register has this topic; correct the topic or add it to the register"
        : payload.IsEmpty ? "it is empty"
        : payload.Length > _options.LargestPayloadBytes
            ? FormattableString.Invariant($"it has {payload.Length} bytes, more than the {_options.LargestPayloadBytes} allowed; send smaller messages")
        : null;

    private string? Read(ReadOnlySpan<byte> payload, TopicSources sources, PayloadIntake intake)
    {
        ReadOnlySpan<byte> byteOrderMark = [0xEF, 0xBB, 0xBF];
        Utf8JsonReader reader = new(payload.StartsWith(byteOrderMark) ? payload[3..] : payload, _json);
        reader.Read();
        string? fault = reader.TokenType == JsonTokenType.StartArray && SenmlJson.IsPack(reader, _options.TimeField)
            ? SenmlJson.Read(ref reader, new SenmlPack(sources, intake), intake, _options.MostRecords)
            : new PlainJson(sources, intake, _options).Read(ref reader);

        // What follows the first value makes the payload no JSON; the reader throws.
        return fault is null && reader.Read() ? "something follows the end of it" : fault;
    }
}
