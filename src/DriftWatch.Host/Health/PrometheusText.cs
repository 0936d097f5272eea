using System.Diagnostics.Metrics;
using System.Globalization;
using System.Text;

namespace DriftWatch.Host.Health;

/// <summary>
/// The observable instruments of one meter as Prometheus text (exposition format 0.0.4), read at the moment of asking.
/// </summary>
internal static class PrometheusText
{
    public const string ContentType = "text/plain; version=0.0.4; charset=utf-8";

    public static string Of(Meter meter)
    {
        SortedDictionary<string, Family> families = new(StringComparer.Ordinal);
        using MeterListener listener = new();
        listener.InstrumentPublished = (instrument, self) =>
        {
            if (instrument.Meter == meter)
            {
                self.EnableMeasurementEvents(instrument);
            }
        };
        listener.SetMeasurementEventCallback<long>((instrument, value, tags, _) => Add(families, instrument, value, tags));
        listener.SetMeasurementEventCallback<double>((instrument, value, tags, _) => Add(families, instrument, value, tags));
        listener.Start();
        listener.RecordObservableInstruments();

        StringBuilder text = new();
        foreach ((string name, Family family) in families)
        {
            text.Append(CultureInfo.InvariantCulture, $"# HELP {name} {family.Help}\n# TYPE {name} {family.Type}\n");
            foreach (string sample in family.Samples)
            {
                text.Append(name).Append(sample).Append('\n');
            }
        }

        return text.ToString();
    }

    private static void Add(SortedDictionary<string, Family> families, Instrument instrument, double value, ReadOnlySpan<KeyValuePair<string, object?>> tags)
    {
        bool counts = instrument.GetType().Name.Contains("Counter", StringComparison.Ordinal);
        string name = Name(instrument, counts);
        if (!families.TryGetValue(name, out Family? family))
        {
            families.Add(name, family = new Family(Escaped(instrument.Description ?? "", quote: false), counts ? "counter" : "gauge", []));
        }

        StringBuilder sample = new();
        foreach ((string key, object? tag) in tags)
        {
            sample.Append(sample.Length == 0 ? '{' : ',').Append(key.Replace('.', '_')).Append("=\"").Append(Escaped(Convert.ToString(tag, CultureInfo.InvariantCulture) ?? "", quote: true)).Append('"');
        }

        if (sample.Length > 0)
        {
            sample.Append('}');
        }

        family.Samples.Add(sample.Append(CultureInfo.InvariantCulture, $" {value:R}").ToString());
    }

    /// <summary>Words joined by underscores, then the unit, then what marks a counter.</summary>
    private static string Name(Instrument instrument, bool counts)
    {
        string unit = instrument.Unit switch
        {
            "s" => "_seconds",
            "By" => "_bytes",
            _ => "",
        };
        return instrument.Name.Replace('.', '_') + unit + (counts ? "_total" : "");
    }

    private static string Escaped(string text, bool quote)
    {
        string escaped = text.Replace("\\", "\\\\", StringComparison.Ordinal).Replace("\n", "\\n", StringComparison.Ordinal);
        return quote ? escaped.Replace("\"", "\\\"", StringComparison.Ordinal) : escaped;
    }

    private sealed record Family(string Help, string Type, List<string> Samples);
}
