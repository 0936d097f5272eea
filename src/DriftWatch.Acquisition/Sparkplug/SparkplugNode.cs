using DriftWatch.Acquisition.Payloads;

namespace DriftWatch.Acquisition.Sparkplug;

/// <summary>What is known of one Sparkplug node: its devices in the register, and what its birth certificates said.</summary>
internal sealed class SparkplugNode(string topic)
{
    /// <summary>A node that does not answer is asked again after this time.</summary>
    private static readonly TimeSpan AskAgain = TimeSpan.FromSeconds(10);

    private readonly Dictionary<ulong, AliasedMetric> _aliases = [];
    private readonly HashSet<string> _bornDevices = new(StringComparer.Ordinal);
    private ulong _sequence;
    private ulong? _birthSequence;
    private bool _born;
    private bool _lost;
    private DateTimeOffset? _askedAt;

    /// <summary>Namespace, group and node.</summary>
    public string Topic => topic;

    /// <summary>Signals of the register by device; the node's own under the empty name.</summary>
    public Dictionary<string, TopicSources> Sources { get; } = new(StringComparer.Ordinal);

    /// <summary>
    /// Whether the aliases of a device can be trusted: its birth and its node's are known, and no message was missed since, as
    /// it may have been a birth that gave the aliases anew.
    /// </summary>
    public bool Knows(string device) => _born && !_lost && (device.Length == 0 || _bornDevices.Contains(device));

    /// <summary>The node has come: whatever was known of it and its devices is void.</summary>
    public void Bear(ulong? sequence, ulong? birthSequence)
    {
        _aliases.Clear();
        _bornDevices.Clear();
        _born = sequence is not null;
        _lost = false;
        _sequence = sequence ?? 0;
        _birthSequence = birthSequence;
        _askedAt = null;
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
        _bornDevices.Remove(device);
        foreach ((ulong alias, AliasedMetric metric) in _aliases)
        {
            if (metric.Device == device)
            {
                _aliases.Remove(alias);
            }
        }
    }

    /// <summary>The node has gone. A will left by a session before the present one says nothing.</summary>
    public void Bury(ulong? birthSequence)
    {
        if (birthSequence is null || _birthSequence is null || birthSequence == _birthSequence)
        {
            _born = false;
        }
    }

    /// <summary>
    /// Takes the sequence number of a message that is no node birth: the number before plus one, from 255 on to 0. The same one
    /// again is the same message again.
    /// </summary>
    public void Follow(ulong? sequence)
    {
        if (_born && sequence != _sequence && sequence != (_sequence + 1) % 256)
        {
            _lost = true;
        }

        _sequence = sequence ?? _sequence;
    }

    public void Name(ulong alias, AliasedMetric metric) => _aliases[alias] = metric;

    public bool TryFind(ulong alias, out AliasedMetric metric) => _aliases.TryGetValue(alias, out metric);

    /// <summary>Whether the node has to be asked for its birth now, having not been asked just before.</summary>
    public bool AsksForRebirth(string device, DateTimeOffset now)
    {
        if (Knows(device) || (_askedAt is { } asked && now - asked < AskAgain && now >= asked))
        {
            return false;
        }

        _askedAt = now;
        return true;
    }
}
