using System.Text.Json;
using System.Text.Json.Serialization;
using DriftWatch.Gas.Uncertainty;

namespace DriftWatch.Trends.Windows;

/// <summary>
/// What limits a point: the share of each contributor in the combined variance. Kept in thousandths, and stored as a list of
/// whole numbers in the order of <see cref="Contributors"/>, so that thousands of windows stay small. Immutable, equal by value.
/// </summary>
[JsonConverter(typeof(Converter))]
public sealed class UncertaintyShares : IEquatable<UncertaintyShares>
{
    // The order is the stored form: new ones go to the end.
    private static readonly (string Name, Sharing Sharing)[] Known =
    [
        ("Pressure noise", Sharing.Random),
        ("Pressure resolution", Sharing.Random),
        ("Weather", Sharing.Random),
        ("Temperature sensor placement, changing", Sharing.Random),
        ("Temperature sensor lag", Sharing.Random),
        (PointBudget.Settling, Sharing.Random),
        ("Pressure sensor offset", Sharing.Shared),
        ("Temperature sensor offset", Sharing.Shared),
        ("Equation of state", Sharing.Shared),
        (PointBudget.PressureTime, Sharing.Random),
        (PointBudget.TemperatureTime, Sharing.Random),
        (PointBudget.Isochore, Sharing.Random),
    ];

    private readonly int[] _thousandths;

    /// <summary>Zeros at the end are left off, so that a contributor that came later makes no difference where it has no share.</summary>
    private UncertaintyShares(int[] thousandths) => _thousandths = thousandths[..(Array.FindLastIndex(thousandths, share => share != 0) + 1)];

    /// <summary>No budget is known, as for windows stored before it was kept.</summary>
    public static UncertaintyShares None { get; } = new([]);

    /// <summary>The contributors a point can have, in stored order.</summary>
    public static IReadOnlyList<string> Contributors { get; } = [.. Known.Select(known => known.Name)];

    /// <summary>The contributors with a share of a thousandth or more, the greatest first; empty when none is known.</summary>
    public IReadOnlyList<UncertaintyShare> Greatest =>
        [.. _thousandths
            .Select((share, i) => new UncertaintyShare(Known[i].Name, Known[i].Sharing, share / 1000.0))
            .Where(share => share.ShareOfVariance > 0)
            .OrderByDescending(share => share.ShareOfVariance)];

    /// <summary>The shares of a budget.</summary>
    /// <param name="budget">Budget of a point.</param>
    /// <exception cref="ArgumentException">A contributor that is none of <see cref="Contributors"/>.</exception>
    public static UncertaintyShares Of(UncertaintyBudget budget)
    {
        int[] thousandths = new int[Known.Length];
        foreach (ContributorShare share in budget.Shares)
        {
            int place = Array.FindIndex(Known, known => known.Name == share.Contributor.Name && known.Sharing == share.Contributor.Sharing);
            if (place < 0)
            {
                throw new ArgumentException(
                    $"'{share.Contributor.Name}' ({share.Contributor.Sharing}) has no place among the contributors of a point. Add it at the end of the list.",
                    nameof(budget));
            }

            thousandths[place] = (int)Math.Round(1000 * share.ShareOfVariance);
        }

        return new UncertaintyShares(thousandths);
    }

    /// <inheritdoc/>
    public bool Equals(UncertaintyShares? other) => other is not null && _thousandths.AsSpan().SequenceEqual(other._thousandths);

    /// <inheritdoc/>
    public override bool Equals(object? obj) => Equals(obj as UncertaintyShares);

    /// <inheritdoc/>
    public override int GetHashCode() => _thousandths.Aggregate(17, HashCode.Combine);

    /// <summary>Stored form: whole thousandths in the order of <see cref="Contributors"/>; a shorter list ends in zeros.</summary>
    public sealed class Converter : JsonConverter<UncertaintyShares>
    {
        /// <inheritdoc/>
        public override UncertaintyShares Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options)
        {
            List<int> thousandths = [];
            if (reader.TokenType != JsonTokenType.StartArray)
            {
                throw new JsonException("Shares of a point are a list of whole numbers, thousandths of the variance.");
            }

            while (reader.Read() && reader.TokenType != JsonTokenType.EndArray)
            {
                thousandths.Add(reader.GetInt32());
            }

            return thousandths.Count <= Known.Length
                ? new UncertaintyShares([.. thousandths])
                : throw new JsonException($"{thousandths.Count} shares of a point; this version knows {Known.Length} contributors.");
        }

        /// <inheritdoc/>
        public override void Write(Utf8JsonWriter writer, UncertaintyShares value, JsonSerializerOptions options)
        {
            writer.WriteStartArray();
            foreach (int share in value._thousandths)
            {
                writer.WriteNumberValue(share);
            }

            writer.WriteEndArray();
        }
    }
}
