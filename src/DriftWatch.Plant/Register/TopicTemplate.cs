using System.Diagnostics.CodeAnalysis;

namespace DriftWatch.Plant.Register;

/// <summary>
/// A pattern of topics: <c>works/{vessel}/{signal}</c>. The two marks stand for a whole level each. Immutable.
/// </summary>
public sealed class TopicTemplate
{
    private const string VesselMark = "{vessel}";
    private const string SignalMark = "{signal}";

    private readonly string[] _levels;

    private TopicTemplate(string text, string[] levels)
    {
        Text = text;
        _levels = levels;
    }

    /// <summary>The template as it is written.</summary>
    public string Text { get; }

    /// <summary>The MQTT topic filter for all topics of the template.</summary>
    public string Filter => string.Join('/', _levels.Select(level => level is VesselMark or SignalMark ? "+" : level));

    /// <summary>Whether it has the mark for the vessel.</summary>
    public bool NamesVessel => _levels.Contains(VesselMark, StringComparer.Ordinal);

    /// <summary>Reads a template.</summary>
    /// <param name="text">At most 1024 characters; each mark at most once, as a whole level; no wildcards, no other braces.</param>
    /// <param name="template">The template.</param>
    /// <returns>False where the text is none.</returns>
    public static bool TryParse(string text, [NotNullWhen(true)] out TopicTemplate? template)
    {
        ArgumentNullException.ThrowIfNull(text);
        template = null;
        string[] levels = text.Split('/');
        bool good = text.Length is > 0 and <= 1024
            && levels.All(level => level is VesselMark or SignalMark || level.AsSpan().IndexOfAny("+#{}\0") < 0)
            && levels.Count(level => level == VesselMark) <= 1
            && levels.Count(level => level == SignalMark) <= 1;
        template = good ? new TopicTemplate(text, levels) : null;
        return good;
    }

    /// <summary>The topic of one signal of one vessel.</summary>
    public string Fill(string vessel, string signal) => string.Join('/', _levels.Select(level => level switch
    {
        VesselMark => vessel,
        SignalMark => signal,
        _ => level,
    }));

    /// <summary>Whether a topic follows the template, and what stands where its marks are (empty where it has no such mark).</summary>
    public bool TryMatch(string topic, out string vessel, out string signal)
    {
        ArgumentNullException.ThrowIfNull(topic);
        vessel = signal = "";
        string[] levels = topic.Split('/');
        if (levels.Length != _levels.Length)
        {
            return false;
        }

        for (int at = 0; at < levels.Length; at++)
        {
            switch (_levels[at])
            {
                case VesselMark:
                    vessel = levels[at];
                    break;
                case SignalMark:
                    signal = levels[at];
                    break;
                default:
                    if (levels[at] != _levels[at])
                    {
                        return false;
                    }

                    break;
            }
        }

        return true;
    }

    /// <summary>The template as it is written.</summary>
    public override string ToString() => Text;
}
