using System.Buffers.Text;
using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using DriftWatch.Plant.People;

namespace DriftWatch.Host.Web.People;

/// <summary>Makes access tokens: 256 random bits behind a mark by which a forgotten one is found in files.</summary>
internal static class AccessTokens
{
    /// <summary>What a secret begins with.</summary>
    public const string Mark = "driftwatch_";

    /// <summary>Days that a token lives when nothing else is said.</summary>
    public const int UsualDays = 90;

    private const int MostDays = 366;

    private const int LongestName = 64;

    /// <summary>A token and its secret; or why there is none.</summary>
    public static (string? Objection, AccessToken? Token, string Secret) Make(Person owner, string name, Role role, int days, DateTimeOffset now)
    {
        string? objection = name.Length is not (>= 1 and <= LongestName) || name.Any(char.IsControl) ? "Say in 1 to 64 characters what the token is for."
            : role > owner.Role ? $"A token of {owner.Name} may do no more than {owner.Name}: choose {owner.Role.ToString().ToLowerInvariant()} or less."
            : days is not (>= 1 and <= MostDays) ? "A token lives 1 to 366 days."
            : null;
        if (objection is not null)
        {
            return (objection, null, "");
        }

        string secret = Mark + Base64Url.EncodeToString(RandomNumberGenerator.GetBytes(32));
        return (null, new AccessToken(Guid.NewGuid().ToString("n"), owner.Id, name, role, now, now.AddDays(days), null, null), secret);
    }

    /// <summary>The digest under which a token is kept. Its secret is random and long, so a plain digest gives nothing away.</summary>
    public static string KeyOf(string secret) => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(secret)));

    /// <summary>What is written down of a token.</summary>
    public static string Words(AccessToken token) =>
        $"{token.Name}: {token.Role.ToString().ToLowerInvariant()} until {token.Expires.UtcDateTime.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture)}";
}
