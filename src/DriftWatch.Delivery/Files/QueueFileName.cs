using System.Security.Cryptography;
using System.Text;

namespace DriftWatch.Delivery.Files;

/// <summary>
/// File name of a notice: its key with everything replaced that some file system refuses, cut to a length that all
/// take, and the start of the key's SHA-256 so that two keys never share a name, not even where case is ignored.
/// </summary>
internal static class QueueFileName
{
    private const int ReadableLength = 100;

    public static string Of(string kind, string key, string ending)
    {
        char[] readable = [.. key.Take(ReadableLength).Select(letter => char.IsAsciiLetterOrDigit(letter) ? letter : '-')];
        string digest = Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(key)).AsSpan(0, 8));
        return $"{kind}-{new string(readable)}-{digest}.{ending}";
    }
}
