using DriftWatch.Plant.People;
using Microsoft.AspNetCore.Identity;
using Microsoft.Extensions.Options;

namespace DriftWatch.Host.Web.People;

/// <summary>
/// Passwords: PBKDF2 with HMAC-SHA512, 128 bits of salt. The rounds are above what the OWASP Password Storage Cheat Sheet asks
/// of this function (210,000); a hash of fewer rounds is replaced when its password is next given.
/// </summary>
internal sealed class Passwords
{
    /// <summary>Rounds of the hash.</summary>
    public const int Rounds = 300_000;

    /// <summary>Fewest characters of a password.</summary>
    public const int Shortest = 12;

    /// <summary>Most characters of a password.</summary>
    public const int Longest = 128;

    private readonly PasswordHasher<Account> _hasher = new(Options.Create(new PasswordHasherOptions
    {
        CompatibilityMode = PasswordHasherCompatibilityMode.IdentityV3,
        IterationCount = Rounds,
    }));

    private readonly Lazy<string> _nobodys;

    public Passwords() => _nobodys = new Lazy<string>(() => Hash(Guid.NewGuid().ToString("n")));

    /// <summary>The salted hash of a password.</summary>
    public string Hash(string password) => _hasher.HashPassword(null!, password);

    /// <summary>
    /// Whether a password is the account's. Takes as long for an account that is not there, so that the time does not tell
    /// which names are known.
    /// </summary>
    /// <param name="account">The account; null for none of that name.</param>
    /// <param name="password">The password given.</param>
    /// <param name="outdated">Whether it is right and its hash has fewer rounds than are made now.</param>
    public bool IsOf(Account? account, string password, out bool outdated)
    {
        PasswordVerificationResult result = _hasher.VerifyHashedPassword(
            null!, account is { PasswordHash.Length: > 0 } known ? known.PasswordHash : _nobodys.Value, password);
        outdated = result == PasswordVerificationResult.SuccessRehashNeeded;
        return account is { PasswordHash.Length: > 0 } && result != PasswordVerificationResult.Failed;
    }

    /// <summary>Why a password is not taken; null when it is.</summary>
    /// <param name="password">The password.</param>
    /// <param name="name">Name of the account.</param>
    public static string? Objection(string password, string name)
    {
        if (password.Length is not (>= Shortest and <= Longest))
        {
            return $"A password has {Shortest} to {Longest} characters; this one has {password.Length}. Some words in a row do well.";
        }

        if (password.Distinct().Count() < 5)
        {
            return "The password has fewer than five different characters.";
        }

        return password.Contains(name, StringComparison.OrdinalIgnoreCase) || password.Contains("driftwatch", StringComparison.OrdinalIgnoreCase)
            ? "The password holds the name of the account or of the program: choose one that does not."
            : null;
    }

    /// <summary>Why a name is not taken for an account; null when it is.</summary>
    public static string? ObjectionToName(string name) =>
        name.Length is >= 2 and <= 64 && name == name.Trim() && !name.Any(char.IsControl)
            ? null
            : "A name has 2 to 64 characters, no spaces around it and no control characters.";
}
