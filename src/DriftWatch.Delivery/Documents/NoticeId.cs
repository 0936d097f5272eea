using System.Security.Cryptography;
using System.Text;

namespace DriftWatch.Delivery.Documents;

/// <summary>A key in a form that every header takes: the start of its SHA-256, the same for every repetition.</summary>
internal static class NoticeId
{
    public static string Of(string key) => "notice-" + Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(key)).AsSpan(0, 16));
}
