namespace DriftWatch.Plant.People;

/// <summary>How a person signs in.</summary>
public sealed record Account
{
    /// <summary>The person.</summary>
    public required Person Person { get; init; }

    /// <summary>The outside provider that vouches for the person; empty for an account of the plant's own.</summary>
    public string Issuer { get; init; } = "";

    /// <summary>Who the person is at the provider; empty for an account of the plant's own.</summary>
    public string Subject { get; init; } = "";

    /// <summary>Salted hash of the password; empty where a provider vouches.</summary>
    public string PasswordHash { get; init; } = "";

    /// <summary>Whether the password was set by someone else, so that the person has to choose another before anything else.</summary>
    public bool MustChange { get; init; }

    /// <summary>Whether the person may not sign in any more.</summary>
    public bool Disabled { get; init; }

    /// <summary>When it was made, UTC.</summary>
    public required DateTimeOffset Made { get; init; }

    /// <summary>When the person last signed in, UTC; null for never.</summary>
    public DateTimeOffset? LastSignIn { get; init; }
}
