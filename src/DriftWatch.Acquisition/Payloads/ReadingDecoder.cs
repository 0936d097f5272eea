using System.Formats.Cbor;
using System.Text.Json;
using DriftWatch.Acquisition.Door;
using DriftWatch.Acquisition.Sparkplug;
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
    private readonly Dictionary<string, TopicSources> _topics = new(StringComparer.Ordinal);
    private readonly VesselRegister _register;
    private readonly PayloadOptions _options;
    private readonly JsonReaderOptions _json;
    private readonly SparkplugNodes _sparkplug;

    /// <summary>Builds the decoder for a register.</summary>
    /// <exception cref="ArgumentException">An option is out of its range.</exception>
    public ReadingDecoder(VesselRegister register, PayloadOptions? options = null, ReadingDoorOptions? door = null)
    {
        ArgumentNullException.ThrowIfNull(register);
        _register = register;
        _options = options ?? new PayloadOptions();
        _options.Validate();
        ReadingDoorOptions doorOptions = door ?? new ReadingDoorOptions();
        doorOptions.Validate();
        _json = new JsonReaderOptions { MaxDepth = _options.DeepestNesting };
        foreach (IGrouping<string, (SignalSource Source, DoorEntry Entry)> topic in register.Vessels
            .SelectMany(vessel => vessel.Sources, (vessel, source) => (Source: source, Entry: new DoorEntry(vessel, source.Signal, source.Unit, doorOptions)))
            .GroupBy(one => one.Source.Topic, StringComparer.Ordinal))
        {
            var sources = new TopicSources { Format = topic.First().Source.Format };
            sources.Add([.. topic]);
            _topics.Add(topic.Key, sources);
        }

        _sparkplug = new SparkplugNodes(
            _topics.Where(topic => topic.Value.Format == SourceFormat.SparkplugB).ToDictionary(StringComparer.Ordinal), _options);
        Filters = [.. TopicFilters()];
    }

    /// <summary>
    /// The topic filters to subscribe to, each once: the topics of the register, one wildcard in place of all that follow the
    /// register's template, and one for each Sparkplug node.
    /// </summary>
    public IReadOnlyCollection<string> Filters { get; }

    /// <summary>Whether messages on a topic are meant for this decoder; others may share the broker.</summary>
    public bool Concerns(string topic) =>
        _topics.ContainsKey(topic) || _sparkplug.TellsOf(topic)
        || (_register.TopicTemplate is { } template && template.TryMatch(topic, out _, out _));

    /// <summary>
    /// The source that a topic stands for: itself where it is in the register, the node of a Sparkplug topic, and the empty
    /// text for all others together.
    /// </summary>
    public string SourceOf(string topic) => _topics.ContainsKey(topic) ? topic : _sparkplug.NodeOf(topic) ?? "";

    /// <summary>Decodes one message.</summary>
    /// <param name="topic">Topic it came on.</param>
    /// <param name="payload">Its bytes.</param>
    /// <param name="arrived">When it came, UTC; the time of readings that bring none.</param>
    /// <param name="arrivalIsReadingTime">
    /// False where the arrival says nothing of when a reading was true (a message kept by the broker): readings without a time
    /// of their own are then rejected.
    /// </param>
    /// <param name="readings">Readings taken are added here.</param>
    /// <returns>How many were taken, what was rejected with its reason, and whom to ask for a new birth certificate.</returns>
    public DecodedPayload Decode(
        string topic, ReadOnlySpan<byte> payload, DateTimeOffset arrived, bool arrivalIsReadingTime, List<VesselReading> readings)
    {
        ArgumentNullException.ThrowIfNull(topic);
        ArgumentNullException.ThrowIfNull(readings);
        DateTimeOffset wholeMicrosecond = new(arrived.UtcTicks / TimeSpan.TicksPerMicrosecond * TimeSpan.TicksPerMicrosecond, TimeSpan.Zero);
        PayloadIntake intake = new(readings, wholeMicrosecond, arrivalIsReadingTime);
        string? fault = WhyNot(topic, payload);
        if (fault is null)
        {
            try
            {
                fault = Read(topic, payload, intake);
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

    private IEnumerable<string> TopicFilters()
    {
        if (_register.TopicTemplate is { } template)
        {
            yield return template.Filter;
        }

        foreach ((string topic, TopicSources sources) in _topics)
        {
            if (sources.Format != SourceFormat.SparkplugB && _register.TopicTemplate?.TryMatch(topic, out _, out _) != true)
            {
                yield return topic;
            }
        }

        foreach (string filter in _sparkplug.Filters)
        {
            yield return filter;
        }
    }

    private string? WhyNot(string topic, ReadOnlySpan<byte> payload) =>
        !_topics.ContainsKey(topic) && _sparkplug.NodeOf(topic) is null ? WhyUnknown(topic)
        : payload.IsEmpty ? "it is empty"
        : payload.Length > _options.LargestPayloadBytes
            ? FormattableString.Invariant($"it has {payload.Length} bytes, more than the {_options.LargestPayloadBytes} allowed; send smaller messages")
        : null;

    private string WhyUnknown(string topic) =>
        _register.TopicTemplate is { } template && template.TryMatch(topic, out string vessel, out string signal)
            ? _register.Find(vessel) is null
                ? $"vessel '{vessel}' is not in the register; correct the topic or add the vessel"
                : $"'{signal}' is no signal that the register has for vessel '{vessel}'; correct the topic or add the sensor"
            : "no vessel of the register has this topic; correct the topic or add it to the register";

    private string? Read(string topic, ReadOnlySpan<byte> payload, PayloadIntake intake)
    {
        if (!_topics.TryGetValue(topic, out TopicSources? sources) || sources.Format == SourceFormat.SparkplugB)
        {
            return _sparkplug.Read(topic, payload, intake);
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
