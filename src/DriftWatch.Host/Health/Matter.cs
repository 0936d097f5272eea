namespace DriftWatch.Host.Health;

/// <summary>What a complaint about a part can be about. The runbook says of each what to do; a test compares the two.</summary>
internal static class Matter
{
    /// <summary>Something cannot be written to, or read from, the store.</summary>
    public const string Store = "store";

    /// <summary>The store cannot be written to.</summary>
    public const string Write = "write";

    /// <summary>Readings cannot be committed.</summary>
    public const string Commit = "commit";

    /// <summary>Packing of days that are over waits.</summary>
    public const string Packing = "packing";

    /// <summary>There is no connection to the far side.</summary>
    public const string Connection = "connection";

    /// <summary>A source sends more than it may; its name follows.</summary>
    public const string Rate = "rate";

    /// <summary>A certificate of our own runs out or cannot be read.</summary>
    public const string Certificate = "certificate";

    /// <summary>Vessels could not be assessed.</summary>
    public const string Vessels = "vessels";

    /// <summary>Files cannot be read, moved or taken in.</summary>
    public const string Files = "files";

    /// <summary>A register or settings file is refused.</summary>
    public const string Defects = "defects";

    /// <summary>Pictures cannot be drawn.</summary>
    public const string Drawing = "drawing";

    /// <summary>Points cannot be written to InfluxDB.</summary>
    public const string Points = "points";

    /// <summary>Readings cannot be read back from InfluxDB.</summary>
    public const string Reading = "reading";

    /// <summary>InfluxDB refuses points for good.</summary>
    public const string Refused = "refused";

    /// <summary>Points for InfluxDB were given up, as too many waited.</summary>
    public const string GivenUp = "given up";

    /// <summary>A channel takes no notices.</summary>
    public const string Delivery = "delivery";

    /// <summary>A channel takes notices, but not for all recipients.</summary>
    public const string Recipients = "recipients";

    /// <summary>Notices were refused for good.</summary>
    public const string SetAside = "set aside";

    /// <summary>Answers cannot be heard by a way; its name follows.</summary>
    public const string Hearing = "hearing";

    /// <summary>A provider of sign-in does not answer.</summary>
    public const string Provider = "provider";
}
