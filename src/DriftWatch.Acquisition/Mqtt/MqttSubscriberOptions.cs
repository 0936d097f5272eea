using DriftWatch.Acquisition.Door;

namespace DriftWatch.Acquisition.Mqtt;

/// <summary>How the subscriber reaches its broker and how much it takes at once.</summary>
public sealed record MqttSubscriberOptions
{
    /// <summary>Host name or address of the broker; default 127.0.0.1.</summary>
    public string Host { get; init; } = "127.0.0.1";

    /// <summary>Port of the broker; default 1883, 1 to 65535.</summary>
    public int Port { get; init; } = 1883;

    /// <summary>Version of MQTT spoken; default 5.</summary>
    public MqttVersion Version { get; init; } = MqttVersion.V5;

    /// <summary>
    /// Client id; default <c>driftwatch</c>, never empty. The broker keeps the session under it, so it stays the same from
    /// run to run and no two running services share it.
    /// </summary>
    public string ClientId { get; init; } = "driftwatch";

    /// <summary>How long the broker keeps the session while the service is away (MQTT 5); default 30 days, 1 s to 136 years.</summary>
    public TimeSpan SessionExpiry { get; init; } = TimeSpan.FromDays(30);

    /// <summary>Most messages the broker may send ahead of their acknowledgement (MQTT 5); default 2000, 1 to 65535.</summary>
    public int ReceiveMaximum { get; init; } = 2000;

    /// <summary>Most messages committed together; default 1000, 1 to 65535.</summary>
    public int MostMessagesPerCommit { get; init; } = 1000;

    /// <summary>Topic filters to subscribe to instead of the topics of the register, such as <c>works/#</c>; default none.</summary>
    public IReadOnlyList<string> TopicFilters { get; init; } = [];

    /// <summary>User name; default none.</summary>
    public string? UserName { get; init; }

    /// <summary>Environment variable that holds the password; default none.</summary>
    public string? PasswordEnvironmentVariable { get; init; }

    /// <summary>File that holds the password (its first line); default none.</summary>
    public string? PasswordFile { get; init; }

    /// <summary>TLS; default none.</summary>
    public MqttTlsOptions? Tls { get; init; }

    /// <summary>How many messages one source may send.</summary>
    public SourceRateOptions Rate { get; init; } = new();

    /// <summary>Keep-alive; default 30 s, 1 s to 18 h.</summary>
    public TimeSpan KeepAlive { get; init; } = TimeSpan.FromSeconds(30);

    /// <summary>Wait after the first failure to connect or to commit; doubles each time; default 0.5 s, above 0.</summary>
    public TimeSpan ShortestRetry { get; init; } = TimeSpan.FromSeconds(0.5);

    /// <summary>Longest wait between attempts; default 30 s, not below <see cref="ShortestRetry"/>.</summary>
    public TimeSpan LongestRetry { get; init; } = TimeSpan.FromSeconds(30);

    /// <summary>Throws where an option is out of its range, naming all that are.</summary>
    /// <exception cref="ArgumentException">One or more options are out of range.</exception>
    public void Validate()
    {
        List<string> faults = [];
        Check(!string.IsNullOrWhiteSpace(Host), $"{nameof(Host)} is empty; name the broker.");
        Check(Port is >= 1 and <= 65535, FormattableString.Invariant($"{nameof(Port)} is {Port}; allowed is 1 to 65535."));
        Check(Enum.IsDefined(Version), $"{nameof(Version)} is {Version}; allowed are {string.Join(", ", Enum.GetNames<MqttVersion>())}.");
        Check(!string.IsNullOrWhiteSpace(ClientId), $"{nameof(ClientId)} is empty; the broker keeps the session under it.");
        Check(
            SessionExpiry >= TimeSpan.FromSeconds(1) && SessionExpiry.TotalSeconds <= uint.MaxValue,
            $"{nameof(SessionExpiry)} is {SessionExpiry:c}; allowed is 1 s to 136 years.");
        Check(ReceiveMaximum is >= 1 and <= 65535, FormattableString.Invariant($"{nameof(ReceiveMaximum)} is {ReceiveMaximum}; allowed is 1 to 65535."));
        Check(
            MostMessagesPerCommit is >= 1 and <= 65535,
            FormattableString.Invariant($"{nameof(MostMessagesPerCommit)} is {MostMessagesPerCommit}; allowed is 1 to 65535."));
        Check(TopicFilters.All(filter => filter.Length > 0), $"{nameof(TopicFilters)} holds an empty filter; remove it.");
        Check(
            PasswordEnvironmentVariable is null || PasswordFile is null,
            $"{nameof(PasswordEnvironmentVariable)} and {nameof(PasswordFile)} are both given; give one of them.");
        Check(
            UserName is not null || (PasswordEnvironmentVariable is null && PasswordFile is null),
            $"A password is given without {nameof(UserName)}; give both.");
        Check(
            KeepAlive >= TimeSpan.FromSeconds(1) && KeepAlive <= TimeSpan.FromHours(18), $"{nameof(KeepAlive)} is {KeepAlive:c}; allowed is 1 s to 18 h.");
        Check(ShortestRetry > TimeSpan.Zero, $"{nameof(ShortestRetry)} is {ShortestRetry:c}; allowed is above 0.");
        Check(LongestRetry >= ShortestRetry, $"{nameof(LongestRetry)} is {LongestRetry:c}; allowed is {nameof(ShortestRetry)} or longer.");
        if (Tls is { ClientKeyFile: not null, ClientCertificateFile: null })
        {
            faults.Add($"{nameof(MqttTlsOptions.ClientKeyFile)} is given without {nameof(MqttTlsOptions.ClientCertificateFile)}; give both.");
        }

        if (faults.Count > 0)
        {
            throw new ArgumentException(string.Join(" ", faults));
        }

        Rate.Validate();

        void Check(bool good, string fault)
        {
            if (!good)
            {
                faults.Add(fault);
            }
        }
    }
}
