using System.Text.Json.Serialization;

namespace DriftWatch.Delivery.Security;

/// <summary>What the settings of all channels to a server say: where it is, who this side is there, and how long it may take.</summary>
public abstract record ServerOptions
{
    private protected ServerOptions(string name, int port)
    {
        Name = name;
        Port = port;
    }

    /// <summary>Name of the channel in the outbox. Default: that of the setting (<c>mqtt</c>, <c>amqp</c>, <c>amqp10</c>, <c>mail</c>).</summary>
    [JsonPropertyOrder(-1)]
    public string Name { get; init; }

    /// <summary>Host name or address of the server.</summary>
    [JsonPropertyOrder(-1)]
    public required string Host { get; init; }

    /// <summary>
    /// Its TCP port, 1 to 65535. Default: the port registered for the protocol (MQTT 1883, AMQP 5672, mail submission 587);
    /// with TLS 8883 and 5671 are usual.
    /// </summary>
    [JsonPropertyOrder(-1)]
    public int Port { get; init; }

    /// <summary>User name; none: no sign-in (AMQP 0-9-1: the broker's own default user; AMQP 1.0: SASL ANONYMOUS).</summary>
    [JsonPropertyOrder(-1)]
    public string? UserName { get; init; }

    /// <summary>Where the user's password stands.</summary>
    [JsonPropertyOrder(-1)]
    public SecretSource? Password { get; init; }

    /// <summary>TLS; none by default, for mail that of <c>security</c> with the system's authorities.</summary>
    [JsonPropertyOrder(-1)]
    public TlsSettings? Tls { get; init; }

    /// <summary>How long connecting or an answer of the server may take; above 0, at most 1 h. Default 30 s, for MQTT 10 s.</summary>
    [JsonPropertyOrder(-1)]
    public TimeSpan Timeout { get; init; } = TimeSpan.FromSeconds(30);

    /// <summary>Whether alarms are told by it too. Default: no.</summary>
    [JsonPropertyOrder(-1)]
    public bool Alarms { get; init; }

    /// <summary>All that is wrong with the settings, a line each; empty when they are good.</summary>
    /// <param name="at">Where they stand, before the field's name.</param>
    public IReadOnlyList<string> Faults(string at = "")
    {
        FaultList faults = new(at);
        faults.CheckName(Name);
        faults.Check(!string.IsNullOrWhiteSpace(Host), "host", $"is empty: name the server.");
        faults.Check(Port is >= 1 and <= 65535, "port", $"is {Port}: give 1 to 65535.");
        faults.Check(UserName is not null || Password is null, "userName", $"is missing: a password needs one.");
        faults.Add(Password?.Faults(faults.Field("password")) ?? []);
        faults.CheckTimeout(Timeout);
        faults.Add(Tls?.Faults(faults.Field("tls")) ?? []);
        CheckOwn(faults);
        return faults.All;
    }

    /// <summary>Checks what only this kind of channel has.</summary>
    private protected abstract void CheckOwn(FaultList faults);
}
