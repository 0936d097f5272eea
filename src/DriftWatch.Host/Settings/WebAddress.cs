using System.Text.Json.Nodes;

namespace DriftWatch.Host.Settings;

/// <summary>Web addresses of the settings: what is wrong with one, and how it is printed. Passwords and tokens stand in addresses where people put them.</summary>
internal static class WebAddress
{
    private const string Hidden = "***";

    private static readonly string[] Fields = ["url", "otlpEndpoint", "authority"];

    /// <summary>What is wrong with an address, a line at most.</summary>
    /// <param name="field">The field of the settings.</param>
    /// <param name="address">The address.</param>
    /// <param name="isWanted">Whether an absolute one is of the kind wanted.</param>
    /// <param name="give">What to give, as the message says it.</param>
    /// <param name="secret">Where a secret belongs, as the message says it.</param>
    public static IEnumerable<string> Faults(string field, string address, Func<Uri, bool> isWanted, string give, string secret) =>
        !Uri.TryCreate(address, UriKind.Absolute, out Uri? uri) || !isWanted(uri) ? [$"{field} is '{Shown(address)}': give {give}."]
        : uri.UserInfo.Length > 0 ? [$"{field} is '{Shown(address)}', which holds a user name or a password: take them out; {secret}."]
        : [];

    /// <summary>Whether it is an http or https address.</summary>
    public static bool IsWeb(Uri address) => address.Scheme is "http" or "https";

    /// <summary>An address without what may be a secret: user information, query and fragment.</summary>
    public static string Shown(string address)
    {
        // A password with a slash or a question mark in it makes an address that cannot be read: then all before the last @ may be one.
        bool holdsUser = !Uri.TryCreate(address, UriKind.Absolute, out Uri? uri) || !IsWeb(uri) || uri.UserInfo.Length > 0;
        int scheme = address.IndexOf("://", StringComparison.Ordinal);
        int from = scheme < 0 ? 0 : scheme + 3;
        int at = holdsUser ? address.LastIndexOf('@') : -1;
        string shown = at >= from ? string.Concat(address.AsSpan(0, from), Hidden, address.AsSpan(at)) : address;
        int query = shown.AsSpan().IndexOfAny('?', '#');
        return query < 0 ? shown : shown[..(query + 1)] + Hidden;
    }

    /// <summary>Shows each address of a settings document in place of itself.</summary>
    public static void Hide(JsonNode? document)
    {
        if (document is JsonArray list)
        {
            foreach (JsonNode? one in list)
            {
                Hide(one);
            }
        }
        else if (document is JsonObject settings)
        {
            foreach ((string name, JsonNode? value) in settings.ToArray())
            {
                if (value is JsonValue text && text.TryGetValue(out string? address)
                    && (Fields.Contains(name) || address.Contains("://", StringComparison.Ordinal)))
                {
                    settings[name] = Shown(address);
                }
                else
                {
                    Hide(value);
                }
            }
        }
    }
}
