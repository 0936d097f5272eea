using System.Security.Cryptography;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Storage;

/// <summary>
/// Tells which assessments have changed since it last looked. It knows them by a digest of what is stored, so that a look
/// over thousands of vessels of which few changed reads few documents. One caller at a time.
/// </summary>
public sealed class AssessmentWatch(PlantStore store)
{
    private readonly Dictionary<string, byte[]> _seen = new(StringComparer.Ordinal);

    /// <summary>Assessments that are new or different, by vessel id; all of them at the first look.</summary>
    /// <exception cref="StoreUnavailableException">The store cannot be read; the next look tells what this one could not.</exception>
    public IReadOnlyDictionary<string, Assessment> Look() => store.Changed(this);

    /// <summary>Whether a stored document differs from the one seen before.</summary>
    internal bool IsNew(string vesselId, ReadOnlySpan<byte> document, out byte[] digest)
    {
        digest = SHA256.HashData(document);
        return !_seen.TryGetValue(vesselId, out byte[]? seen) || !digest.AsSpan().SequenceEqual(seen);
    }

    internal void Remember(IEnumerable<KeyValuePair<string, byte[]>> digests)
    {
        foreach ((string vesselId, byte[] digest) in digests)
        {
            _seen[vesselId] = digest;
        }
    }
}
