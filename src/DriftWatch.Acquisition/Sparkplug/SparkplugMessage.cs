namespace DriftWatch.Acquisition.Sparkplug;

/// <summary>What a Sparkplug message says, by its type.</summary>
internal enum SparkplugMessage
{
    /// <summary>NBIRTH: a node has come, with all its metrics.</summary>
    NodeBirth,

    /// <summary>NDATA: metrics of a node have changed.</summary>
    NodeData,

    /// <summary>NDEATH: a node has gone.</summary>
    NodeDeath,

    /// <summary>DBIRTH: a device of a node has come, with all its metrics.</summary>
    DeviceBirth,

    /// <summary>DDATA: metrics of a device have changed.</summary>
    DeviceData,

    /// <summary>DDEATH: a device has gone.</summary>
    DeviceDeath,

    /// <summary>NCMD or DCMD: a host tells a node or device what to do; heard along with the rest, and none of ours.</summary>
    Command,
}
