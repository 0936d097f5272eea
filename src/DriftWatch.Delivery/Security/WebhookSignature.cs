using System.Globalization;
using System.Security.Cryptography;
using System.Text;

namespace DriftWatch.Delivery.Security;

/// <summary>
/// Signatures of the open Standard Webhooks scheme, version <c>v1</c>: HMAC-SHA256 over <c>id.timestamp.body</c>, in the
/// headers <c>webhook-id</c>, <c>webhook-timestamp</c> (Unix seconds) and <c>webhook-signature</c>. Used on HTTP, and
/// under the same names as message properties on MQTT and AMQP.
/// </summary>
public static class WebhookSignature
{
    /// <summary>Header of the message's id.</summary>
    public const string IdHeader = "webhook-id";

    /// <summary>Header of the moment of signing, Unix seconds.</summary>
    public const string TimestampHeader = "webhook-timestamp";

    /// <summary>Header of the signatures, separated by spaces.</summary>
    public const string SignatureHeader = "webhook-signature";

    private const string SecretPrefix = "whsec_";
    private const int ShortestKey = 24;
    private const int LongestKey = 64;

    /// <summary>The key in a secret <c>whsec_BASE64</c> of 24 to 64 bytes.</summary>
    /// <exception cref="FormatException">It is no such secret; the message does not show it.</exception>
    public static byte[] KeyOf(string secret)
    {
        byte[] key = new byte[LongestKey + 3];
        if (!secret.StartsWith(SecretPrefix, StringComparison.Ordinal)
            || !Convert.TryFromBase64String(secret[SecretPrefix.Length..], key, out int length)
            || length is < ShortestKey or > LongestKey)
        {
            throw new FormatException($"the secret must be '{SecretPrefix}' and the Base64 form of {ShortestKey} to {LongestKey} random bytes, such as 'openssl rand -base64 32' prints.");
        }

        return key[..length];
    }

    /// <summary>The signature header's value.</summary>
    public static string Sign(byte[] key, string id, DateTimeOffset at, ReadOnlySpan<byte> body) =>
        "v1," + Convert.ToBase64String(Mac(key, id, at.ToUnixTimeSeconds().ToString(CultureInfo.InvariantCulture), body));

    /// <summary>Whether one of the signatures in the header is that of the message. Takes the same time however wrong it is.</summary>
    public static bool Verifies(byte[] key, string id, string timestamp, string signatures, ReadOnlySpan<byte> body)
    {
        byte[] expected = Mac(key, id, timestamp, body);
        bool verified = false;
        foreach (string signature in signatures.Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            byte[] given = new byte[expected.Length + 3];
            verified |= signature.StartsWith("v1,", StringComparison.Ordinal)
                && Convert.TryFromBase64String(signature[3..], given, out int length)
                && CryptographicOperations.FixedTimeEquals(given.AsSpan(0, length), expected);
        }

        return verified;
    }

    private static byte[] Mac(byte[] key, string id, string timestamp, ReadOnlySpan<byte> body) =>
        HMACSHA256.HashData(key, (byte[])[.. Encoding.UTF8.GetBytes($"{id}.{timestamp}."), .. body]);
}
