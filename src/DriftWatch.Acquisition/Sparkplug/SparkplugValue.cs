using DriftWatch.Acquisition.Sparkplug.Wire;

namespace DriftWatch.Acquisition.Sparkplug;

/// <summary>The number in a Sparkplug metric.</summary>
internal static class SparkplugValue
{
    private const uint Int8 = 1;
    private const uint Int16 = 2;
    private const uint Int32 = 3;
    private const uint Int64 = 4;
    private const uint DateTimeType = 13;
    private const uint GoodQuality = 192;
    private const string QualityKey = "Quality";

    /// <summary>Reads the number; signed types stand in unsigned fields as two's complement.</summary>
    /// <param name="metric">A metric that is not null.</param>
    /// <param name="dataType">Its data type, its own or that of its birth; 0 where neither is given.</param>
    /// <param name="isContact">Whether true and false are wanted.</param>
    /// <param name="number">The number.</param>
    /// <returns>Null, or why there is none.</returns>
    public static string? TryRead(Metric metric, uint dataType, bool isContact, out double number)
    {
        number = 0;
        if (WrongQuality(metric) is { } wrong)
        {
            return wrong;
        }

        switch (metric.ValueCase)
        {
            case Metric.ValueOneofCase.DoubleValue:
                number = metric.DoubleValue;
                return null;
            case Metric.ValueOneofCase.FloatValue:
                number = metric.FloatValue;
                return null;
            case Metric.ValueOneofCase.IntValue when dataType != DateTimeType:
                number = dataType switch
                {
                    Int8 => unchecked((sbyte)metric.IntValue),
                    Int16 => unchecked((short)metric.IntValue),
                    Int32 or Int64 => unchecked((int)metric.IntValue),
                    _ => metric.IntValue,
                };
                return null;
            case Metric.ValueOneofCase.LongValue when dataType != DateTimeType:
                number = dataType is Int8 or Int16 or Int32 or Int64 ? unchecked((long)metric.LongValue) : metric.LongValue;
                return null;
            case Metric.ValueOneofCase.BooleanValue when isContact:
                number = metric.BooleanValue ? 1 : 0;
                return null;
            default:
                return FormattableString.Invariant($"its value is no number (data type {dataType})");
        }
    }

    /// <summary>The property 'Quality' of a metric: 192 is good, 0 bad, 500 stale (Sparkplug 3.0 section 6.4.9.1).</summary>
    private static string? WrongQuality(Metric metric)
    {
        int at = metric.Properties?.Keys.IndexOf(QualityKey) ?? -1;
        if (at < 0 || at >= metric.Properties!.Values.Count)
        {
            return null;
        }

        PropertyValue quality = metric.Properties.Values[at];
        ulong code = quality.ValueCase == PropertyValue.ValueOneofCase.LongValue ? quality.LongValue : quality.IntValue;
        return code == GoodQuality ? null : FormattableString.Invariant($"its quality is {code}, not {GoodQuality} (good)");
    }
}
