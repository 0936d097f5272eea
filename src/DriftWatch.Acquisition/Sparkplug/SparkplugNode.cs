using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using DriftWatch.Acquisition.Payloads;
using DriftWatch.Plant.Readings;

namespace DriftWatch.Acquisition.Sparkplug;

/// <summary>What is known of one Sparkplug node: its devices in the register, and what its birth certificates said.</summary>
internal sealed class SparkplugNode(string topic)
{
    /// <summary>A node that does not answer is asked again after this time.</summary>
    private static readonly TimeSpan AskAgain = TimeSpan.FromSeconds(10);

    /// <summary>Messages held for a birth certificate at most; beyond it they are set aside.</summary>
    private const int MostHeld = 20_000;

    /// <summary>Bytes of them at most.</summary>
    private const int MostHeldBytes = 16 << 20;

    private readonly Dictionary<ulong, AliasedMetric> _aliases = [];
    private readonly Dictionary<ulong, AliasedMetric> _former = [];
    private readonly HashSet<string> _bornDevices = new(StringComparer.Ordinal);
    private readonly SortedDictionary<long, NodeMemory.Held> _held = [];
    private readonly HashSet<long> _heldAtCommit = [];
    private readonly HashSet<long> _heldOtherwise = [];
    private ulong _sequence;
    private ulong? _birthSequence;
    private string? _birthDigest;
    private string? _digest;
    private bool _born;
    private bool _lost;
    private bool _repeating;
    private bool _birthChanged = true;
    private long _heldBytes;
    private long _lastHeld;
    private DateTimeOffset? _askedAt;

    /// <summary>Namespace, group and node.</summary>
    public string Topic => topic;

    /// <summary>Signals of the register by device; the node's own under the empty name.</summary>
    public Dictionary<string, TopicSources> Sources { get; } = new(StringComparer.Ordinal);

    /// <summary>
    /// Whether the aliases of a device can be trusted: its birth and its node's are known, and no message was missed since, as
    /// it may have been a birth that gave the aliases anew.
    /// </summary>
    public bool Knows(string device) => _born && !_lost && !_repeating && (device.Length == 0 || _bornDevices.Contains(device));

    /// <summary>The node has come: whatever was known of it and its devices is void.</summary>
    public void Bear(ulong? sequence, ulong? birthSequence, string digest)
    {
        if (digest == _birthDigest)
        {
            // Sent again: what came before it was committed before it.
            ReleasePassed();
        }
        else
        {
            KeepPassed();
        }

        if (_held.Count == 0 || birthSequence != _birthSequence)
        {
            _former.Clear();
        }
        else
        {
            foreach ((ulong alias, AliasedMetric metric) in _aliases)
            {
                _former[alias] = metric;
            }
        }

        _aliases.Clear();
        _bornDevices.Clear();
        _born = sequence is not null;
        _lost = _repeating = false;
        _sequence = sequence ?? 0;
        _birthSequence = birthSequence;
        _birthDigest = _digest = digest;
        _askedAt = null;
        _birthChanged = true;
    }

    /// <summary>A device has come: its former aliases are void.</summary>
    public void BearDevice(string device)
    {
        BuryDevice(device);
        _bornDevices.Add(device);
    }

    /// <summary>A device has gone.</summary>
    public void BuryDevice(string device)
    {
        _birthChanged = true;
        _bornDevices.Remove(device);
        foreach ((ulong alias, AliasedMetric metric) in _aliases)
        {
            if (metric.Device == device)
            {
                _aliases.Remove(alias);
                if (_held.Count > 0)
                {
                    _former[alias] = metric;
                }
            }
        }
    }

    /// <summary>The node has gone. A will left by a session before the present one says nothing.</summary>
    public void Bury(ulong? birthSequence)
    {
        if (birthSequence is null || _birthSequence is null || birthSequence == _birthSequence)
        {
            _born = false;
            foreach ((long number, NodeMemory.Held held) in _held.ToArray())
            {
                // The session that ends is theirs.
                Change(number, held, held with { BirthSequence = held.BirthSequence ?? birthSequence });
            }
        }
    }

    /// <summary>
    /// Takes the sequence number of a message that is no node birth: the number before plus one, from 255 on to 0. The same one
    /// again is the same message again.
    /// </summary>
    /// <param name="sequence">The number; null where there is none.</param>
    /// <param name="digest">Digest of the message.</param>
    /// <param name="sentAgain">Whether the broker says that it has sent it before.</param>
    public void Follow(ulong? sequence, string digest, bool sentAgain)
    {
        bool follows = sequence == _sequence || sequence == (_sequence + 1) % 256;
        if (_repeating)
        {
            if (sentAgain && digest != _digest)
            {
                return; // Still before the last message committed.
            }

            // The last one committed once more, or the first new one: if that follows, all those sent again were committed.
            _repeating = false;
            if (digest == _digest || follows)
            {
                ReleasePassed();
                follows = true;
            }
            else
            {
                KeepPassed();
            }
        }
        else if (_born && !follows && sentAgain && _digest is not null)
        {
            // After an interruption the broker sends again what was committed and not acknowledged any more.
            _repeating = true;
            return;
        }

        _lost |= _born && !follows;
        _sequence = sequence ?? _sequence;
        _digest = digest;
    }

    public void Name(ulong alias, AliasedMetric metric)
    {
        _aliases[alias] = metric;
        _birthChanged = true;
    }

    public bool TryFind(ulong alias, out AliasedMetric metric) => _aliases.TryGetValue(alias, out metric);

    /// <summary>Whether the node has to be asked for its birth now, having not been asked just before.</summary>
    public bool AsksForRebirth(string device, DateTimeOffset now)
    {
        if (_repeating || Knows(device) || (_askedAt is { } asked && now - asked < AskAgain && now >= asked))
        {
            return false;
        }

        _askedAt = now;
        return true;
    }

    /// <summary>Whether it was to be asked for its birth, and has not sent it since; what was held over a restart waits for it too.</summary>
    public bool AwaitsBirth => _askedAt is not null;

    /// <summary>Holds a message until the birth it is to be read by.</summary>
    /// <returns>False where no more are held.</returns>
    public bool Hold(string messageTopic, string device, DateTimeOffset arrived, bool arrivalIsReadingTime, ReadOnlySpan<byte> payload)
    {
        if (_heldBytes + payload.Length > MostHeldBytes || _held.Count >= MostHeld)
        {
            return false;
        }

        _held.Add(++_lastHeld, new NodeMemory.Held(
            messageTopic, device, arrived, arrivalIsReadingTime, _born ? _birthSequence : null, _repeating, payload.ToArray()));
        _heldBytes += payload.Length;
        return true;
    }

    /// <summary>Holds the last message no more: it was refused.</summary>
    public void LetGoOfLastHeld()
    {
        if (_held.TryGetValue(_lastHeld, out NodeMemory.Held? held))
        {
            Release(_lastHeld, held);
        }
    }

    /// <summary>Takes out the messages that can be read now, or never, each with the reason why it cannot.</summary>
    public IEnumerable<(NodeMemory.Held Message, string? WhyNot)> TakeReadable()
    {
        foreach ((long number, NodeMemory.Held held) in _held.ToArray())
        {
            if (!Knows(held.Device))
            {
                continue;
            }

            Release(number, held);
            yield return (held, held.BirthSequence is { } session && _birthSequence is { } present && session != present
                ? FormattableString.Invariant($"its metrics go by aliases, and the node has begun another session (bdSeq {session} was followed by {present}) before it told what they stand for")
                : null);
        }

        if (_held.Count == 0)
        {
            _former.Clear();
        }
    }

    /// <summary>Whether an alias stands for what it stood for before, as far as is known.</summary>
    public bool IsUnchanged(ulong alias) =>
        !_former.TryGetValue(alias, out AliasedMetric former)
        || (_aliases.TryGetValue(alias, out AliasedMetric now) && now.Device == former.Device && now.Source == former.Source);

    /// <summary>What is to be committed of it, by which the next start goes on.</summary>
    public SourceMemory TakeMemory()
    {
        SourceMemory memory = new(
            topic,
            _birthChanged ? JsonSerializer.SerializeToUtf8Bytes(BirthNow(), NodeMemory.Json.Default.Birth) : (ReadOnlyMemory<byte>?)null,
            JsonSerializer.SerializeToUtf8Bytes(new NodeMemory.Progress(_born, _lost, _sequence, _digest), NodeMemory.Json.Default.Progress),
            [.. _held.Where(held => !_heldAtCommit.Contains(held.Key) || _heldOtherwise.Contains(held.Key)).Select(held => Written(held.Key, held.Value))],
            [.. _heldAtCommit.Where(number => !_held.ContainsKey(number))]);
        _birthChanged = false;
        _heldOtherwise.Clear();
        _heldAtCommit.Clear();
        _heldAtCommit.UnionWith(_held.Keys);
        return memory;
    }

    /// <summary>The same node of the register, of which nothing is known.</summary>
    public SparkplugNode Afresh()
    {
        SparkplugNode node = new(topic);
        foreach ((string device, TopicSources sources) in Sources)
        {
            node.Sources.Add(device, sources);
        }

        return node;
    }

    /// <summary>Takes up what a node of the same name knew under another register.</summary>
    public void TakeOver(SparkplugNode before)
    {
        Remember(new SourceMemory(
            topic,
            JsonSerializer.SerializeToUtf8Bytes(before.BirthNow(), NodeMemory.Json.Default.Birth),
            JsonSerializer.SerializeToUtf8Bytes(new NodeMemory.Progress(before._born, before._lost, before._sequence, before._digest), NodeMemory.Json.Default.Progress),
            [.. before._held.Select(held => Written(held.Key, held.Value))],
            []));
        _birthChanged = true;
        _lastHeld = before._lastHeld;
        _askedAt = before._askedAt;
        _heldAtCommit.Clear();
        _heldAtCommit.UnionWith(before._heldAtCommit);
        _heldOtherwise.UnionWith(before._heldOtherwise);
    }

    /// <summary>Takes up what was committed.</summary>
    /// <exception cref="JsonException">It is not what this class wrote.</exception>
    public void Remember(SourceMemory memory)
    {
        NodeMemory.Birth birth = JsonSerializer.Deserialize(memory.Birth!.Value.Span, NodeMemory.Json.Default.Birth)!;
        NodeMemory.Progress progress = JsonSerializer.Deserialize(memory.Progress.Span, NodeMemory.Json.Default.Progress)!;
        _birthSequence = birth.BirthSequence;
        _birthDigest = birth.BirthDigest;
        _bornDevices.UnionWith(birth.Devices);
        Fill(_aliases, birth.Aliases);
        Fill(_former, birth.Former);
        _born = progress.Born;
        _sequence = progress.Sequence;
        _digest = progress.Digest;
        _birthChanged = false;

        // Of a metric that has come to the register since, the alias is not known.
        _lost = progress.Lost || birth.Register != RegisterDigest();
        foreach (HeldMessage held in memory.Held)
        {
            NodeMemory.Held message = JsonSerializer.Deserialize(held.Content.Span, NodeMemory.Json.Default.Held)!;
            _held.Add(held.Number, message);
            _heldBytes += message.Payload.Length;
        }

        _heldAtCommit.UnionWith(_held.Keys);
        _lastHeld = _held.Keys.LastOrDefault();

        // Whether it was asked for what they wait for is not known: it is asked anew, by the next message at the latest.
        _askedAt = _held.Count > 0 ? DateTimeOffset.MinValue : null;
    }

    private NodeMemory.Birth BirthNow() => new(
        _birthSequence, _birthDigest, RegisterDigest(), [.. _bornDevices.Order(StringComparer.Ordinal)], Listed(_aliases), Listed(_former));

    private string RegisterDigest() => Convert.ToHexString(SHA256.HashData(Encoding.UTF8.GetBytes(string.Join('\n', Sources
        .SelectMany(device => device.Value.Named, (device, source) => $"{device.Key}/{Encoding.UTF8.GetString(source.Name)}")
        .Order(StringComparer.Ordinal)))));

    private static NodeMemory.Alias[] Listed(Dictionary<ulong, AliasedMetric> aliases) =>
        [.. aliases.Select(alias => new NodeMemory.Alias(alias.Key, alias.Value.Device, Encoding.UTF8.GetString(alias.Value.Source.Name), alias.Value.DataType))];

    private void Fill(Dictionary<ulong, AliasedMetric> aliases, NodeMemory.Alias[] written)
    {
        foreach ((ulong number, string device, string name, uint dataType) in written)
        {
            if (Sources.TryGetValue(device, out TopicSources? sources) && sources.TryFind(Encoding.UTF8.GetBytes(name), out NamedSource? source))
            {
                aliases[number] = new AliasedMetric(device, source, dataType);
            }
        }
    }

    private static HeldMessage Written(long number, NodeMemory.Held held) =>
        new(number, JsonSerializer.SerializeToUtf8Bytes(held, NodeMemory.Json.Default.Held));

    private void Change(long number, NodeMemory.Held held, NodeMemory.Held changed)
    {
        if (changed != held)
        {
            _held[number] = changed;
            _heldOtherwise.Add(number);
        }
    }

    /// <summary>Whether they were committed is not known after all: they wait like others.</summary>
    private void KeepPassed()
    {
        foreach ((long number, NodeMemory.Held held) in _held.ToArray())
        {
            Change(number, held, held with { Passed = false });
        }
    }

    private void ReleasePassed()
    {
        foreach ((long number, NodeMemory.Held held) in _held.Where(held => held.Value.Passed).ToArray())
        {
            Release(number, held);
        }
    }

    private void Release(long number, NodeMemory.Held held)
    {
        _held.Remove(number);
        _heldBytes -= held.Payload.Length;
    }
}
