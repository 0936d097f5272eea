using DriftWatch.Plant.Register;

namespace DriftWatch.Acquisition.Payloads;

/// <summary>What the two representations of SenML say alike of a field.</summary>
internal static class SenmlField
{
    /// <summary>Longest unit looked at, characters.</summary>
    public const int LongestUnit = 32;

    public static string WrongText(string field) =>
        FormattableString.Invariant($"its field '{field}' is no text of at most {SenmlRecord.LongestName} bytes");

    public static string WrongNumber(string field) => $"its field '{field}' is no number";

    public static SenmlUnit Unit(ReadOnlySpan<char> text) =>
        text.Length > LongestUnit ? new SenmlUnit(null, "(longer than any unit)")
        : SourceUnit.TryFind(text, out SourceUnit? known) ? new SenmlUnit(known, null)
        : new SenmlUnit(null, text.ToString());
}
