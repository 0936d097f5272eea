using System.Net;
using DriftWatch.Acquisition.Door;

namespace DriftWatch.Acquisition.Mqtt;

/// <summary>Where the embedded broker listens, and whom it lets in.</summary>
public sealed record EmbeddedBrokerOptions
{
    /// <summary>Port; default 1883, 1 to 65535.</summary>
    public int Port { get; init; } = 1883;

    /// <summary>Address; default the loopback address. Any other needs credentials.</summary>
    public IPAddress Address { get; init; } = IPAddress.Loopback;

    /// <summary>User name that clients give; default none: anyone on this machine is let in.</summary>
    public string? UserName { get; init; }

    /// <summary>Environment variable that holds the password; default none.</summary>
    public string? PasswordEnvironmentVariable { get; init; }

    /// <summary>File that holds the password (its first line), read at each connection; default none.</summary>
    public string? PasswordFile { get; init; }

    /// <summary>TLS; default none.</summary>
    public BrokerTlsOptions? Tls { get; init; }

    /// <summary>First levels of the topics that the service itself publishes under, without a slash at the end: nothing there is set aside.</summary>
    public IReadOnlyList<string> OwnTopics { get; init; } = ["driftwatch"];

    /// <summary>How many messages one source may send.</summary>
    public SourceRateOptions Rate { get; init; } = new();

    /// <summary>Throws where an option is out of its range, naming all that are.</summary>
    /// <exception cref="ArgumentException">One or more options are out of range.</exception>
    public void Validate()
    {
        List<string> faults = [];
        bool password = PasswordEnvironmentVariable is not null || PasswordFile is not null;
        Check(Port is >= 1 and <= 65535, FormattableString.Invariant($"{nameof(Port)} is {Port}; allowed is 1 to 65535."));
        Check(
            PasswordEnvironmentVariable is null || PasswordFile is null,
            $"{nameof(PasswordEnvironmentVariable)} and {nameof(PasswordFile)} are both given; give one of them.");
        Check(UserName is not null == password, $"{nameof(UserName)} and a password go together; give both or none.");
        Check(
            IPAddress.IsLoopback(Address) || UserName is not null || Tls?.ClientAuthorityFile is not null,
            $"{nameof(Address)} is {Address}, which others can reach; give {nameof(UserName)} and a password, or TLS with {nameof(BrokerTlsOptions.ClientAuthorityFile)}.");
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
