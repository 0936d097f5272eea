using System.Security.Cryptography;
using System.Text;
using DriftWatch.Acquisition.Payloads;
using DriftWatch.Acquisition.Sparkplug.Wire;
using DriftWatch.Plant.Readings;
using Google.Protobuf;

namespace DriftWatch.Acquisition.Sparkplug;

/// <summary>
/// Reads Sparkplug B (ISO/IEC 20237) as a host does that watches and does not command: births give the names, data follow by
/// name or alias, deaths and lost messages make aliases void until the next birth.
/// </summary>
internal sealed class SparkplugNodes
{
    private const string Compressed = "SPBV1.0_COMPRESSED";
    private const string BirthSequence = "bdSeq";

    // What the .proto leaves out is of no use here and need not be kept.
    private static readonly MessageParser<Payload> Parser = Payload.Parser.WithDiscardUnknownFields(true);

    private readonly Dictionary<string, SparkplugNode> _nodes = new(StringComparer.Ordinal);
    private readonly HashSet<SparkplugNode> _touched = [];
    private readonly PayloadOptions _options;

    /// <param name="sources">Signals by topic, as the register writes it.</param>
    /// <param name="options">Bounds.</param>
    /// <param name="before">The nodes under another register, of which what is known is taken over; null where there is none.</param>
    public SparkplugNodes(Dictionary<string, TopicSources> sources, PayloadOptions options, SparkplugNodes? before)
    {
        _options = options;
        foreach ((string topic, TopicSources ofTopic) in sources)
        {
            (string node, string device) = SparkplugTopic.OfRegister(topic);
            if (!_nodes.TryGetValue(node, out SparkplugNode? known))
            {
                _nodes.Add(node, known = new SparkplugNode(node));
            }

            known.Sources.Add(device, ofTopic);
        }

        foreach (SparkplugNode node in _nodes.Values)
        {
            if (before?._nodes.TryGetValue(node.Topic, out SparkplugNode? former) == true)
            {
                lock (former)
                {
                    node.TakeOver(former);
                }

                _touched.Add(node);
            }
        }
    }

    private SparkplugNodes(IEnumerable<SparkplugNode> nodes, PayloadOptions options)
    {
        _options = options;
        _nodes = nodes.ToDictionary(node => node.Topic, StringComparer.Ordinal);
    }

    /// <summary>The same nodes of the register, knowing what was committed and nothing else.</summary>
    /// <exception cref="System.Text.Json.JsonException">It is not what was written.</exception>
    public SparkplugNodes Remembering(IReadOnlyList<SourceMemory> memories)
    {
        SparkplugNodes nodes = new(_nodes.Values.Select(node => node.Afresh()), _options);
        foreach (SourceMemory memory in memories)
        {
            nodes._nodes.GetValueOrDefault(memory.Source)?.Remember(memory);
        }

        return nodes;
    }

    /// <summary>What has changed since it was asked for last, to be committed with the readings.</summary>
    public IReadOnlyList<SourceMemory> TakeMemories()
    {
        lock (_touched)
        {
            List<SourceMemory> memories = [];
            foreach (SparkplugNode node in _touched)
            {
                lock (node)
                {
                    memories.Add(node.TakeMemory());
                }
            }

            _touched.Clear();
            return memories;
        }
    }

    /// <summary>A topic filter for each node: its sequence numbers run through all its devices, so all have to be heard.</summary>
    public IEnumerable<string> Filters => _nodes.Keys.Select(SparkplugTopic.FilterOf);

    /// <summary>The node of the register that a message's topic belongs to; null where there is none.</summary>
    public string? NodeOf(string topic) =>
        _nodes.Count > 0 && SparkplugTopic.TryParse(topic, out SparkplugTopic parsed) && _nodes.ContainsKey(parsed.Node) ? parsed.Node : null;

    /// <summary>Whether a message tells of a node of the register, rather than commands it.</summary>
    public bool TellsOf(string topic) =>
        _nodes.Count > 0 && SparkplugTopic.TryParse(topic, out SparkplugTopic parsed)
        && parsed.Type != SparkplugMessage.Command && _nodes.ContainsKey(parsed.Node);

    /// <returns>Null, or why the whole message has to be given up.</returns>
    public string? Read(string topic, ReadOnlySpan<byte> payload, PayloadIntake intake)
    {
        if (!SparkplugTopic.TryParse(topic, out SparkplugTopic parsed) || !_nodes.TryGetValue(parsed.Node, out SparkplugNode? node))
        {
            return "the topic has no type of message; Sparkplug publishes to spBv1.0/group/type/node";
        }

        if (parsed.Type == SparkplugMessage.Command)
        {
            return null;
        }

        Payload message;
        try
        {
            message = Parser.ParseFrom(payload);
        }
        catch (InvalidProtocolBufferException exception)
        {
            return $"it is no Sparkplug B payload: {exception.Message}";
        }

        if (message.Metrics.Count > _options.MostRecords)
        {
            return FormattableString.Invariant($"it holds more than {_options.MostRecords} metrics; send smaller messages");
        }

        if (message.Uuid == Compressed)
        {
            return "it is compressed; let the node send plain payloads";
        }

        lock (_touched)
        {
            _touched.Add(node);
        }

        lock (node)
        {
            Take(node, parsed, message, topic, payload, intake);
            ReadHeld(node, intake);
            if (parsed.Type is not (SparkplugMessage.NodeDeath or SparkplugMessage.DeviceDeath) && node.AsksForRebirth(parsed.Device, intake.Arrived))
            {
                intake.RebirthTopic = SparkplugTopic.CommandOf(node.Topic);
            }
        }

        return null;
    }

    /// <summary>The topics of commands of the nodes that were to be asked for their birth certificates, and have not sent them since.</summary>
    public HashSet<string> AwaitedBirths()
    {
        HashSet<string> topics = new(StringComparer.Ordinal);
        foreach (SparkplugNode node in _nodes.Values)
        {
            lock (node)
            {
                if (node.AwaitsBirth)
                {
                    topics.Add(SparkplugTopic.CommandOf(node.Topic));
                }
            }
        }

        return topics;
    }

    /// <summary>Holds the last message of a topic's node no more, as it was refused.</summary>
    public void LetGoOfLastHeld(string topic)
    {
        if (NodeOf(topic) is { } name)
        {
            SparkplugNode node = _nodes[name];
            lock (node)
            {
                node.LetGoOfLastHeld();
            }
        }
    }

    /// <summary>Reads what has waited for the birth certificates that are there now; what does not fit them is set aside.</summary>
    private static void ReadHeld(SparkplugNode node, PayloadIntake intake)
    {
        foreach ((NodeMemory.Held held, string? whyNot) in node.TakeReadable())
        {
            PayloadIntake own = intake.For(held.Arrived, held.ArrivalIsReadingTime);
            Payload message = Parser.ParseFrom(held.Payload);
            if (whyNot is not null)
            {
                own.Reject("payload", whyNot);
            }
            else if (message.Metrics.Any(metric => !IsNamed(metric) && metric.HasAlias && !node.IsUnchanged(metric.Alias)))
            {
                own.Reject("payload", "it has aliases that stood for other metrics in an earlier birth certificate of the same session, and which of them holds is not known");
            }
            else if (node.Sources.TryGetValue(held.Device, out TopicSources? sources))
            {
                TakeMetrics(node, held.Device, sources, message, birth: false, own);
            }
            else
            {
                own.Reject("payload", $"it waited for a birth certificate, and its device '{held.Device}' is no longer in the register; add it again if its readings are wanted");
            }

            DecodedPayload outcome = own.Close();
            intake.TakenLate += outcome.Taken;
            if (outcome.HasRejected)
            {
                intake.SetAsideLate(new QuarantinedMessage(held.Topic, held.Arrived, outcome.Reason, held.Payload));
            }
        }
    }

    private static bool IsNamed(Metric metric) => metric.HasName && metric.Name.Length > 0;

    private static void Take(
        SparkplugNode node, SparkplugTopic topic, Payload message, string whole, ReadOnlySpan<byte> payload, PayloadIntake intake)
    {
        string digest = Convert.ToHexString(SHA256.HashData(payload));
        ulong? sequence = message.HasSeq && message.Seq < 256 ? message.Seq : null;
        switch (topic.Type)
        {
            case SparkplugMessage.NodeBirth:
                node.Bear(sequence, BirthSequenceOf(message), digest);
                break;
            case SparkplugMessage.NodeDeath:
                node.Bury(BirthSequenceOf(message));
                return;
            case SparkplugMessage.DeviceBirth:
                node.Follow(sequence, digest, intake.SentAgain);
                node.BearDevice(topic.Device);
                break;
            case SparkplugMessage.DeviceDeath:
                node.Follow(sequence, digest, intake.SentAgain);
                node.BuryDevice(topic.Device);
                return;
            default:
                node.Follow(sequence, digest, intake.SentAgain);
                break;
        }

        if (sequence is null)
        {
            intake.Reject("payload", "it has no sequence number (seq) from 0 to 255, so that lost messages cannot be told");
        }

        if (node.Sources.TryGetValue(topic.Device, out TopicSources? sources))
        {
            bool birth = topic.Type is SparkplugMessage.NodeBirth or SparkplugMessage.DeviceBirth;
            int unknown = TakeMetrics(node, topic.Device, sources, message, birth, intake);
            if (unknown > 0 && node.Hold(whole, topic.Device, intake.Arrived, intake.ArrivalIsReadingTime, payload))
            {
                intake.Held = true;
            }
            else if (unknown > 0)
            {
                intake.Reject("payload", FormattableString.Invariant(
                    $"{unknown} metrics go by an alias, and what it stands for is not known for sure: no birth certificate was seen, or messages after it were lost; a new one is asked for, and as many messages as are held wait for it already"));
            }
        }
    }

    /// <returns>How many metrics go by an alias that is not known for sure.</returns>
    private static int TakeMetrics(
        SparkplugNode node, string device, TopicSources sources, Payload message, bool birth, PayloadIntake intake)
    {
        bool trusted = node.Knows(device);
        int unnamed = 0;
        HashSet<NamedSource> found = [];
        for (int index = 0; index < message.Metrics.Count; index++)
        {
            Metric metric = message.Metrics[index];
            uint dataType = metric.Datatype;
            NamedSource? source = null;
            if (IsNamed(metric))
            {
                if (metric.Name.Length <= SenmlRecord.LongestName)
                {
                    sources.TryFind(Encoding.UTF8.GetBytes(metric.Name), out source);
                }
            }
            else if (!metric.HasAlias)
            {
                intake.RejectRecord(index, default, "the metric has neither name nor alias");
            }
            else if (!trusted)
            {
                unnamed++;
            }
            else if (node.TryFind(metric.Alias, out AliasedMetric known) && known.Device == device)
            {
                source = known.Source;
                dataType = metric.HasDatatype ? dataType : known.DataType;
            }

            if (source is null)
            {
                continue; // a metric that the register does not name
            }

            found.Add(source);
            if (birth && metric.HasAlias)
            {
                node.Name(metric.Alias, new AliasedMetric(device, source, dataType));
            }

            if (!metric.IsNull)
            {
                TakeValue(source, metric, dataType, message, index, intake);
            }
        }

        foreach (NamedSource source in birth ? sources.Named : [])
        {
            if (!found.Contains(source))
            {
                intake.Reject(Encoding.UTF8.GetString(source.Name), "the birth certificate has no metric of this name; correct the name in the register");
            }
        }

        return unnamed;
    }

    private static void TakeValue(NamedSource source, Metric metric, uint dataType, Payload message, int index, PayloadIntake intake)
    {
        string? whyNot = SparkplugValue.TryRead(metric, dataType, source.Entry.Unit is null, out double number);
        DateTimeOffset instant = intake.Arrived;
        if (whyNot is null && (metric.HasTimestamp || message.HasTimestamp))
        {
            ulong milliseconds = metric.HasTimestamp ? metric.Timestamp : message.Timestamp;
            whyNot = UnixTime.TryFromCount(milliseconds, 1000, out instant) ? null : EventTime.NoCalendarInstant;
        }
        else if (whyNot is null && !intake.ArrivalIsReadingTime)
        {
            whyNot = PayloadIntake.NoTime;
        }

        if (whyNot is null)
        {
            intake.Offer(source.Entry, number, null, instant, index, source.Name);
        }
        else
        {
            intake.RejectRecord(index, source.Name, whyNot);
        }
    }

    private static ulong? BirthSequenceOf(Payload message)
    {
        Metric? metric = message.Metrics.FirstOrDefault(candidate => candidate.Name == BirthSequence);
        return metric?.ValueCase switch
        {
            Metric.ValueOneofCase.LongValue => metric.LongValue,
            Metric.ValueOneofCase.IntValue => metric.IntValue,
            _ => null,
        };
    }
}
