using System.Globalization;

namespace DriftWatch.TestPeers;

/// <summary>What the Sparkplug node pu1 and its device a1 say, for <see cref="SparkplugLibrary.EncodeAsync"/> to encode.</summary>
public static class PumpUnitMessages
{
    public static string NodeBirth(int session) => $$"""
        { "timestamp": 1748935800000, "seq": 0, "metrics": [ { "name": "bdSeq", "type": "Int64", "value": {{session}} } ] }
        """;

    public static string DeviceBirth(int pressureAlias, int temperatureAlias) => $$"""
        { "timestamp": 1748935800500, "seq": 1, "metrics": [
          { "name": "gas/pressure", "alias": {{pressureAlias}}, "type": "Double", "value": 101.5 },
          { "name": "gas/temperature", "alias": {{temperatureAlias}}, "type": "Float", "value": 20.25 } ] }
        """;

    /// <summary>A pressure by alias, at <see cref="InstantOf"/>.</summary>
    public static string Data(int sequence) => string.Create(CultureInfo.InvariantCulture, $$"""
        { "timestamp": {{InstantOf(sequence).ToUnixTimeMilliseconds()}}, "seq": {{sequence}}, "metrics": [ { "alias": 2, "type": "Double", "value": 101.25 } ] }
        """);

    /// <summary>A second later for each sequence number; 1748935860 is 2025-06-03T07:31:00Z (by date -u -d @1748935860).</summary>
    public static DateTimeOffset InstantOf(int sequence) => DateTimeOffset.FromUnixTimeSeconds(1748935860 + sequence);
}
