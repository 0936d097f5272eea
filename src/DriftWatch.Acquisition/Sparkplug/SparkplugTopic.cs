namespace DriftWatch.Acquisition.Sparkplug;

/// <summary>A topic of Sparkplug B: <c>spBv1.0/group/type/node</c> or <c>spBv1.0/group/type/node/device</c>.</summary>
/// <param name="Type">What the message says.</param>
/// <param name="Node">Namespace, group and node, as in the register: <c>spBv1.0/group/node</c>.</param>
/// <param name="Device">Device; empty for the node itself.</param>
internal readonly record struct SparkplugTopic(SparkplugMessage Type, string Node, string Device)
{
    private const string Namespace = "spBv1.0";

    /// <summary>Reads the topic of a message; false where it is none of a node or device.</summary>
    public static bool TryParse(string topic, out SparkplugTopic parsed)
    {
        parsed = default;
        string[] levels = topic.StartsWith(Namespace + "/", StringComparison.Ordinal) ? topic.Split('/') : [];
        SparkplugMessage? type = (levels.Length, levels.ElementAtOrDefault(2)) switch
        {
            (4, "NBIRTH") => SparkplugMessage.NodeBirth,
            (4, "NDATA") => SparkplugMessage.NodeData,
            (4, "NDEATH") => SparkplugMessage.NodeDeath,
            (5, "DBIRTH") => SparkplugMessage.DeviceBirth,
            (5, "DDATA") => SparkplugMessage.DeviceData,
            (5, "DDEATH") => SparkplugMessage.DeviceDeath,
            (4, "NCMD") or (5, "DCMD") => SparkplugMessage.Command,
            _ => null,
        };
        if (type is null)
        {
            return false;
        }

        parsed = new SparkplugTopic(type.Value, $"{levels[0]}/{levels[1]}/{levels[3]}", levels.ElementAtOrDefault(4) ?? "");
        return true;
    }

    /// <summary>Node and device of a topic as the register writes it, without the message type.</summary>
    public static (string Node, string Device) OfRegister(string topic)
    {
        string[] levels = topic.Split('/', 4);
        return (string.Join('/', levels[..3]), levels.ElementAtOrDefault(3) ?? "");
    }

    /// <summary>The topic filter for all messages of a node and its devices; '#' takes the level above it too (MQTT 5 section 4.7.1.2).</summary>
    public static string FilterOf(string node)
    {
        string[] levels = node.Split('/');
        return $"{levels[0]}/{levels[1]}/+/{levels[2]}/#";
    }

    /// <summary>The topic of commands to a node.</summary>
    public static string CommandOf(string node)
    {
        string[] levels = node.Split('/');
        return $"{levels[0]}/{levels[1]}/NCMD/{levels[2]}";
    }
}
