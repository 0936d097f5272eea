using System.Buffers;
using DriftWatch.Trends.Readings;
using Range = DriftWatch.Plant.Register.RegisterObject.Range;

namespace DriftWatch.Plant.Register;

/// <summary>Reads where the signals of a register come from, and sees to it that no two come from the same place.</summary>
internal sealed class SourceReader
{
    private const string SparkplugNamespace = "spBv1.0";

    /// <summary>A pressure is joined with a temperature of at most half an hour before it; beyond, an arrival tells nothing.</summary>
    private static readonly Range ArrivalSeconds = Range.Above(0, 1800, "s");

    private static readonly SearchValues<char> NoLevelCharacters = SearchValues.Create("/+#{}\0");

    private readonly Dictionary<(string Topic, string? Place), string> _placeOfSource = [];
    private readonly Dictionary<string, TopicUse> _topics = new(StringComparer.Ordinal);
    private readonly Dictionary<Signal, string> _signalWords = new()
    {
        [Signal.GasPressure] = "gas-pressure",
        [Signal.GasTemperature] = "gas-temperature",
        [Signal.FluidPressure] = "fluid-pressure",
        [Signal.Depressurised] = "depressurised",
    };

    /// <summary>Topics of sensors that name none.</summary>
    public TopicTemplate? Template { get; private set; }

    /// <summary>Reads what the file says of the topics of all its sensors.</summary>
    public void ReadTemplate(RegisterObject file)
    {
        if (file.OptionalText("topicTemplate") is { } text)
        {
            Template = TopicTemplate.TryParse(text, out TopicTemplate? template) && template.NamesVessel ? template : null;
            if (Template is null)
            {
                file.Note(
                    "topicTemplate",
                    $"'{text}' is no template of topics.",
                    "Write it like works/{vessel}/{signal}: {vessel} once, {signal} at most once, each a whole level, no wildcards.");
            }
        }

        if (file.OptionalObject("signalWords") is not { } words)
        {
            return;
        }

        foreach ((Signal signal, string name) in (ReadOnlySpan<(Signal, string)>)[
            (Signal.GasPressure, "gasPressure"), (Signal.GasTemperature, "gasTemperature"),
            (Signal.FluidPressure, "fluidPressure"), (Signal.Depressurised, "depressurised")])
        {
            if (words.OptionalText(name) is not { } word)
            {
                continue;
            }

            if (word.AsSpan().ContainsAny(NoLevelCharacters))
            {
                words.Note(name, $"'{word}' is no level of a topic.", "Leave out / + # { }.");
            }
            else
            {
                _signalWords[signal] = word;
            }
        }

        words.Close();
    }

    /// <summary>Reads the source of one sensor; null, with the defects noted, where it is no good.</summary>
    public SignalSource? Read(RegisterObject sensor, string? vesselId, Signal signal, SourceQuantity? quantity, string place)
    {
        string? topic = ReadTopic(sensor, vesselId, signal);
        string? name = sensor.OptionalText("name");
        string? unit = ReadUnit(sensor, quantity);
        SourceFormat? format = ReadFormat(sensor);
        JsonPointer? value = ReadPointer(sensor, "pointer");
        JsonPointer? time = ReadPointer(sensor, "timePointer");
        JsonPointer? records = ReadPointer(sensor, "recordsPointer");
        SourceTime? timeFormat = ReadTime(sensor);
        double? uncertainty = sensor.OptionalNumber("arrivalUncertaintySeconds", ArrivalSeconds);
        if (timeFormat == SourceTime.Arrival != sensor.Has("arrivalUncertaintySeconds"))
        {
            sensor.Note(
                "arrivalUncertaintySeconds",
                timeFormat == SourceTime.Arrival ? "How late a message may come is not said." : "It belongs to \"time\": \"arrival\" only.",
                timeFormat == SourceTime.Arrival ? "Add the seconds by which a reading may be older than its message." : "Remove it, or set \"time\" to \"arrival\".");
            return null;
        }

        if (topic is null || unit is null || format is null || timeFormat is null)
        {
            return null;
        }

        SignalSource source = new(signal, topic, name, unit)
        {
            Format = format.Value,
            Value = value,
            Time = time,
            Records = records,
            TimeFormat = timeFormat.Value,
            ArrivalUncertainty = uncertainty is { } seconds ? TimeSpan.FromSeconds(seconds) : null,
        };
        return FitsFormat(sensor, source) && IsAlone(sensor, source, place) ? source : null;
    }

    /// <summary>A source without a name takes all that its topic brings, so it cannot share the topic.</summary>
    public void CheckSharedTopics(List<RegisterDefect> defects)
    {
        foreach ((string topic, TopicUse use) in _topics)
        {
            if (use.Sources > 1 && use.FirstNameless is not null)
            {
                defects.Add(new RegisterDefect(
                    use.FirstNameless, null, $"Topic '{topic}' brings {use.Sources} signals, and this one has no name to tell it by.", "Add \"name\"."));
            }
        }
    }

    private string? ReadTopic(RegisterObject sensor, string? vesselId, Signal signal)
    {
        string? text = Template is null || sensor.Has("topic") ? sensor.RequiredText("topic", "\"works/pu1/a1\"") : Template.Text;
        if (text is null || vesselId is null)
        {
            return null;
        }

        if (TopicTemplate.TryParse(text, out TopicTemplate? template))
        {
            return template.Fill(vesselId, _signalWords[signal]);
        }

        sensor.Note(
            "topic",
            $"'{text}' is no topic of one source.",
            "Write the full topic, at most 1024 characters, without the wildcards + and #; {vessel} and {signal} may stand for a level.");
        return null;
    }

    private static string? ReadUnit(RegisterObject sensor, SourceQuantity? quantity)
    {
        if (quantity is null)
        {
            return "";
        }

        string? unit = sensor.RequiredText("unit", quantity == SourceQuantity.Pressure ? "\"bar\"" : "\"Cel\"");
        if (unit is null || (SourceUnit.TryFind(unit, out SourceUnit? known) && known.Quantity == quantity))
        {
            return unit;
        }

        string[] allowed = [.. SourceUnit.Known.Where(candidate => candidate.Quantity == quantity).Select(candidate => candidate.Symbol)];
        sensor.Note("unit", $"'{unit}' is no unit of {(quantity == SourceQuantity.Pressure ? "pressure" : "temperature")} known here.", $"Write one of {string.Join(", ", allowed)}.");
        return null;
    }

    private static SourceFormat? ReadFormat(RegisterObject sensor)
    {
        switch (sensor.OptionalText("format"))
        {
            case null:
                return SourceFormat.Recognised;
            case "senml":
                return SourceFormat.Senml;
            case "json":
                return SourceFormat.Json;
            case "number":
                return SourceFormat.Number;
            case "sparkplugB":
                return SourceFormat.SparkplugB;
            case { } other:
                sensor.Note("format", $"'{other}' is no form of payload known here.", "Write senml, json, number or sparkplugB, or leave it out.");
                return null;
        }
    }

    private static SourceTime? ReadTime(RegisterObject sensor)
    {
        switch (sensor.OptionalText("time"))
        {
            case null:
                return SourceTime.Recognised;
            case "rfc3339":
                return SourceTime.Rfc3339;
            case "epochSeconds":
                return SourceTime.EpochSeconds;
            case "epochMilliseconds":
                return SourceTime.EpochMilliseconds;
            case "epochMicroseconds":
                return SourceTime.EpochMicroseconds;
            case "epochNanoseconds":
                return SourceTime.EpochNanoseconds;
            case "arrival":
                return SourceTime.Arrival;
            case { } other:
                sensor.Note(
                    "time",
                    $"'{other}' is no way to write a time known here.",
                    "Write rfc3339, epochSeconds, epochMilliseconds, epochMicroseconds, epochNanoseconds or arrival, or leave it out.");
                return null;
        }
    }

    private static JsonPointer? ReadPointer(RegisterObject sensor, string name)
    {
        if (sensor.OptionalText(name) is not { } text)
        {
            return null;
        }

        if (!JsonPointer.TryParse(text, out JsonPointer? pointer))
        {
            sensor.Note(name, $"'{text}' is no JSON Pointer (RFC 6901).", "Begin each step with '/', and write ~1 for a '/' and ~0 for a '~' within a name.");
        }

        return pointer;
    }

    private static bool FitsFormat(RegisterObject sensor, SignalSource source)
    {
        bool plain = source.Format is SourceFormat.Json or SourceFormat.Recognised;
        if ((source.Value ?? source.Time ?? source.Records) is not null && !plain)
        {
            sensor.Note("format", "A JSON Pointer points into plain JSON only.", "Set \"format\" to \"json\", or remove the pointers.");
            return false;
        }

        if (source.TimeFormat is not (SourceTime.Recognised or SourceTime.Arrival) && !plain)
        {
            sensor.Note("time", "This form of payload writes the time in its own way.", "Remove \"time\", or set \"format\" to \"json\".");
            return false;
        }

        if (source is { Name: not null, Value: not null })
        {
            sensor.Note("pointer", "Both name and pointer say where the value stands.", "Leave one of them.");
            return false;
        }

        if (source is { Format: SourceFormat.Number, Name: not null })
        {
            sensor.Note("name", "A bare number has no name.", "Remove it, or correct \"format\".");
            return false;
        }

        if (source.Format != SourceFormat.SparkplugB)
        {
            return true;
        }

        string[] levels = source.Topic.Split('/');
        if (levels.Length is not (3 or 4) || levels[0] != SparkplugNamespace || levels.Any(level => level.Length == 0))
        {
            sensor.Note(
                "topic", $"'{source.Topic}' names no Sparkplug node or device.", $"Write {SparkplugNamespace}/group/node or {SparkplugNamespace}/group/node/device, without the message type.");
            return false;
        }

        if (source.Name is null)
        {
            sensor.Note("name", "A Sparkplug node or device brings many metrics.", "Add \"name\" with the name of the metric.");
            return false;
        }

        return true;
    }

    private bool IsAlone(RegisterObject sensor, SignalSource source, string place)
    {
        TopicUse use = _topics.GetValueOrDefault(source.Topic, new TopicUse(0, null, source.Format));
        string? within = source.Name ?? (source.Value is null ? null : $"{source.Records?.Text} {source.Value.Text}");
        _topics[source.Topic] = use with { Sources = use.Sources + 1, FirstNameless = use.FirstNameless ?? (within is null ? place : null) };
        if (use.Format != source.Format)
        {
            sensor.Note("format", $"Topic '{source.Topic}' is given two forms of payload.", "Write the same \"format\" at all sensors of the topic.");
            return false;
        }

        if (within is not null && !_placeOfSource.TryAdd((source.Topic, within), place))
        {
            sensor.Note(
                source.Name is null ? "pointer" : "name",
                $"Topic '{source.Topic}' with {(source.Name is null ? "pointer" : "name")} '{within.TrimStart()}' is taken by {_placeOfSource[(source.Topic, within)]}.",
                "Give each signal its own topic or name.");
            return false;
        }

        return true;
    }

    private readonly record struct TopicUse(int Sources, string? FirstNameless, SourceFormat Format);
}
