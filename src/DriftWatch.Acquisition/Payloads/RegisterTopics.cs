using DriftWatch.Acquisition.Door;
using DriftWatch.Acquisition.Sparkplug;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;

namespace DriftWatch.Acquisition.Payloads;

/// <summary>What a register says of topics: which signals come on which, and in which form. Not changed once it is built.</summary>
internal sealed class RegisterTopics
{
    private readonly Dictionary<string, TopicSources> _sources = new(StringComparer.Ordinal);
    private readonly VesselRegister _register;
    private readonly Vessel[] _sparkplugVessels;

    /// <summary>Lists the topics of a register.</summary>
    /// <param name="register">The register.</param>
    /// <param name="payloads">Bounds.</param>
    /// <param name="door">What is let in.</param>
    /// <param name="before">The topics before; what Sparkplug nodes said at their birth is kept where nothing of theirs changed.</param>
    public RegisterTopics(VesselRegister register, PayloadOptions payloads, ReadingDoorOptions door, RegisterTopics? before)
    {
        _register = register;
        foreach (IGrouping<string, (SignalSource Source, DoorEntry Entry)> topic in register.Vessels
            .SelectMany(vessel => vessel.Sources, (vessel, source) => (Source: source, Entry: new DoorEntry(vessel, source.Signal, source.Unit, door)))
            .GroupBy(one => one.Source.Topic, StringComparer.Ordinal))
        {
            var sources = new TopicSources { Format = topic.First().Source.Format };
            sources.Add([.. topic]);
            _sources.Add(topic.Key, sources);
        }

        _sparkplugVessels = [.. register.Vessels.Where(vessel => vessel.Sources.Any(source => source.Format == SourceFormat.SparkplugB))];
        Sparkplug = before is not null && _sparkplugVessels.SequenceEqual(before._sparkplugVessels)
            ? before.Sparkplug
            : new SparkplugNodes(_sources.Where(topic => topic.Value.Format == SourceFormat.SparkplugB).ToDictionary(StringComparer.Ordinal), payloads, before?.Sparkplug);
        Filters = [.. AllFilters().Distinct(StringComparer.Ordinal)];
    }

    /// <summary>The Sparkplug nodes of the register.</summary>
    public SparkplugNodes Sparkplug { get; private set; }

    /// <summary>Takes up what was committed of Sparkplug nodes. Before the first message.</summary>
    public void Remember(IReadOnlyList<SourceMemory> memories) => Sparkplug = Sparkplug.Remembering(memories);

    /// <inheritdoc cref="ReadingDecoder.Filters"/>
    public IReadOnlyCollection<string> Filters { get; }

    /// <summary>The signals of a topic that is in the register itself; null for another.</summary>
    public TopicSources? Of(string topic) => _sources.GetValueOrDefault(topic);

    /// <inheritdoc cref="ReadingDecoder.Concerns"/>
    public bool Concerns(string topic) =>
        _sources.ContainsKey(topic) || Sparkplug.TellsOf(topic)
        || (_register.TopicTemplate is { } template && template.TryMatch(topic, out _, out _));

    /// <inheritdoc cref="ReadingDecoder.SourceOf"/>
    public string SourceOf(string topic) => _sources.ContainsKey(topic) ? topic : Sparkplug.NodeOf(topic) ?? "";

    /// <summary>Why a topic is not known; null where it is.</summary>
    public string? WhyUnknown(string topic)
    {
        if (_sources.ContainsKey(topic) || Sparkplug.NodeOf(topic) is not null)
        {
            return null;
        }

        return _register.TopicTemplate is { } template && template.TryMatch(topic, out string vessel, out string signal)
            ? _register.Find(vessel) is null
                ? $"vessel '{vessel}' is not in the register; correct the topic or add the vessel"
                : $"'{signal}' is no signal that the register has for vessel '{vessel}'; correct the topic or add the sensor"
            : "no vessel of the register has this topic; correct the topic or add it to the register";
    }

    private IEnumerable<string> AllFilters()
    {
        if (_register.TopicTemplate is { } template)
        {
            yield return template.Filter;
        }

        foreach ((string topic, TopicSources sources) in _sources)
        {
            if (sources.Format != SourceFormat.SparkplugB && _register.TopicTemplate?.TryMatch(topic, out _, out _) != true)
            {
                yield return topic;
            }
        }

        foreach (string filter in Sparkplug.Filters)
        {
            yield return filter;
        }
    }
}
