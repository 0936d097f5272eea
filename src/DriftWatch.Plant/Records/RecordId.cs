using System.Security.Cryptography;
using System.Text;

namespace DriftWatch.Plant.Records;

/// <summary>Ids of records that come without one of their own: the same name gives the same id.</summary>
public static class RecordId
{
    /// <summary>The id of what a name stands for: a UUID of version 8 (RFC 9562 section 5.8) from the SHA-256 of the name.</summary>
    /// <param name="kind">What is named, such as <c>answer</c>; no line break.</param>
    /// <param name="name">Its name.</param>
    public static Guid Of(string kind, string name)
    {
        Span<byte> digest = stackalloc byte[SHA256.HashSizeInBytes];
        SHA256.HashData(Encoding.UTF8.GetBytes($"{kind}\n{name}"), digest);
        digest[6] = (byte)((digest[6] & 0x0F) | 0x80);
        digest[8] = (byte)((digest[8] & 0x3F) | 0x80);
        return new Guid(digest[..16], bigEndian: true);
    }
}
