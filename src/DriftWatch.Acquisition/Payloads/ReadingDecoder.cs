using System.Formats.Cbor;
using System.Text.Json;
using DriftWatch.Acquisition.Door;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;

namespace DriftWatch.Acquisition.Payloads;

/// <summary>
/// Turns a message (topic, payload) into readings in SI, by what the register says of the topic. Reads SenML in JSON and
/// CBOR (RFC 8428), plain JSON, bare numbers, and Sparkplug B (ISO/IEC 20237). Whatever the bytes are, it answers with
/// readings and reasons and never throws. Safe to use from several threads; all it remembers from one message to the next is
/// what the birth certificates of Sparkplug nodes said.
/// </summary>
public sealed class ReadingDecoder
{
    private readonly PayloadOptions _options;
    private readonly ReadingDoorOptions _door;
    private readonly JsonReaderOptions _json;

    // A register that is taken takes over what nodes are known by; a message decoded meanwhile would change what is left behind.
    private readonly Lock _lock = new();
    private volatile RegisterTopics _topics;

    /// <summary>Builds the decoder for a register.</summary>
    /// <exception cref="ArgumentException">An option is out of its range.</exception>
    public ReadingDecoder(VesselRegister register, PayloadOptions? options = null, ReadingDoorOptions? door = null)
    {
        ArgumentNullException.ThrowIfNull(register);
        _options = options ?? new PayloadOptions();
        _options.Validate();
        _door = door ?? new ReadingDoorOptions();
        _door.Validate();
        _json = new JsonReaderOptions { MaxDepth = _options.DeepestNesting };
        _topics = new RegisterTopics(register, _options, _door, before: null);
    }

    /// <summary>Raised when <see cref="Filters"/> are others than before, on the thread that called <see cref="Use"/>.</summary>
    public event Action? FiltersChanged;

    /// <summary>
    /// The topic filters to subscribe to, each once: the topics of the register, one wildcard in place of all that follow the
    /// register's template, and one for each Sparkplug node.
    /// </summary>
    public IReadOnlyCollection<string> Filters => _topics.Filters;

    /// <summary>Goes by another register from the next message on. One caller at a time.</summary>
    public void Use(VesselRegister register)
    {
        RegisterTopics before;
        RegisterTopics after;
        lock (_lock)
        {
            before = _topics;
            after = new(register, _options, _door, before);
            _topics = after;
        }

        if (!after.Filters.ToHashSet(StringComparer.Ordinal).SetEquals(before.Filters))
        {
            FiltersChanged?.Invoke();
        }
    }

    /// <summary>Whether messages on a topic are meant for this decoder; others may share the broker.</summary>
    public bool Concerns(string topic) => _topics.Concerns(topic);

    /// <summary>
    /// The source that a topic stands for: itself where it is in the register, the node of a Sparkplug topic, and the empty
    /// text for all others together.
    /// </summary>
    public string SourceOf(string topic) => _topics.SourceOf(topic);

    /// <summary>
    /// Takes up what was committed of sources by which their next messages are read, and forgets what was decoded since. Before
    /// the first message.
    /// </summary>
    public void Remember(IReadOnlyList<SourceMemory> memories)
    {
        lock (_lock)
        {
            _topics.Remember(memories);
        }
    }

    /// <summary>What has been learnt of sources since it was asked for last; to be committed with the readings decoded.</summary>
    public IReadOnlyList<SourceMemory> TakeMemories()
    {
        lock (_lock)
        {
            return _topics.Sparkplug.TakeMemories();
        }
    }

    /// <summary>Holds the message decoded last of a Sparkplug node no more (<see cref="DecodedPayload.Held"/>), as it was refused.</summary>
    internal void LetGoOfLastHeld(string topic)
    {
        lock (_lock)
        {
            _topics.Sparkplug.LetGoOfLastHeld(topic);
        }
    }

    /// <summary>The topics of commands of the Sparkplug nodes that were to be asked for their birth certificates, and have not sent them since.</summary>
    internal IReadOnlySet<string> AwaitedBirths()
    {
        lock (_lock)
        {
            return _topics.Sparkplug.AwaitedBirths();
        }
    }

    /// <summary>Decodes one message.</summary>
    /// <param name="topic">Topic it came on.</param>
    /// <param name="payload">Its bytes.</param>
    /// <param name="arrived">When it came, UTC; the time of readings that bring none.</param>
    /// <param name="arrivalIsReadingTime">
    /// False where the arrival says nothing of when a reading was true (a message kept by the broker): readings without a time
    /// of their own are then rejected.
    /// </param>
    /// <param name="readings">Readings taken are added here; those of messages that waited for this one too.</param>
    /// <param name="sentAgain">Whether the broker says that it has sent the message before (MQTT's DUP flag).</param>
    /// <returns>How many were taken, what was rejected with its reason, and whom to ask for a new birth certificate.</returns>
    public DecodedPayload Decode(
        string topic, ReadOnlySpan<byte> payload, DateTimeOffset arrived, bool arrivalIsReadingTime, List<VesselReading> readings, bool sentAgain = false)
    {
        ArgumentNullException.ThrowIfNull(topic);
        ArgumentNullException.ThrowIfNull(readings);
        lock (_lock)
        {
            return DecodeLocked(topic, payload, arrived, arrivalIsReadingTime, readings, sentAgain);
        }
    }

    private DecodedPayload DecodeLocked(
        string topic, ReadOnlySpan<byte> payload, DateTimeOffset arrived, bool arrivalIsReadingTime, List<VesselReading> readings, bool sentAgain)
    {
        DateTimeOffset wholeMicrosecond = new(arrived.UtcTicks / TimeSpan.TicksPerMicrosecond * TimeSpan.TicksPerMicrosecond, TimeSpan.Zero);
        PayloadIntake intake = new(readings, wholeMicrosecond, arrivalIsReadingTime, sentAgain);
        RegisterTopics topics = _topics;
        string? fault = topics.WhyUnknown(topic) ?? WhyNot(payload);
        if (fault is null)
        {
            try
            {
                fault = Read(topics, topic, payload, intake);
            }
            catch (JsonException exception)
            {
                fault = $"it is no JSON, or nests deeper than {_options.DeepestNesting} levels: {exception.Message}";
            }
            catch (CborContentException exception)
            {
                fault = $"it begins as CBOR and is none: {exception.Message}";
            }
            catch (InvalidOperationException)
            {
                // Both readers look into a text only when it is asked for.
                fault = "a text in it is no valid UTF-8";
            }
        }

        if (fault is not null)
        {
            intake.GiveUp(fault);
        }

        return intake.Close();
    }

    private string? WhyNot(ReadOnlySpan<byte> payload) =>
        payload.IsEmpty ? "it is empty"
        : payload.Length > _options.LargestPayloadBytes
            ? FormattableString.Invariant($"it has {payload.Length} bytes, more than the {_options.LargestPayloadBytes} allowed; send smaller messages")
        : null;

    private string? Read(RegisterTopics topics, string topic, ReadOnlySpan<byte> payload, PayloadIntake intake)
    {
        if (topics.Of(topic) is not { } sources || sources.Format == SourceFormat.SparkplugB)
        {
            return topics.Sparkplug.Read(topic, payload, intake);
        }

        if (sources.Format == SourceFormat.Number)
        {
            return BareNumber.Read(payload, sources, intake);
        }

        if (sources.Format != SourceFormat.Json && SenmlCbor.IsCbor(payload))
        {
            return SenmlCbor.Read(payload.ToArray(), new SenmlPack(sources, intake), intake, _options);
        }

        ReadOnlySpan<byte> byteOrderMark = [0xEF, 0xBB, 0xBF];
        Utf8JsonReader reader = new(payload.StartsWith(byteOrderMark) ? payload[3..] : payload, _json);
        reader.Read();
        string? fault = ReadJson(ref reader, sources, intake);

        // What follows the first value makes the payload no JSON; the reader throws.
        return fault is null && reader.Read() ? "something follows the end of it" : fault;
    }

    private string? ReadJson(ref Utf8JsonReader reader, TopicSources sources, PayloadIntake intake)
    {
        bool array = reader.TokenType == JsonTokenType.StartArray;
        if (sources.Format == SourceFormat.Senml
            ? array
            : array && sources.Format == SourceFormat.Recognised && sources.Mapped.Count == 0 && SenmlJson.IsPack(reader, _options.TimeField))
        {
            return SenmlJson.Read(ref reader, new SenmlPack(sources, intake), intake, _options.MostRecords);
        }

        return sources.Format == SourceFormat.Senml ? "a SenML pack is an array of records"
            : sources.Mapped.Count > 0 ? new MappedJson(sources, intake, _options).Read(ref reader)
            : new PlainJson(sources, intake, _options).Read(ref reader);
    }
}
