using System.Globalization;
using System.Security.Cryptography;
using System.Text.Json;
using System.Text.Json.Serialization;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Plant.Following;

/// <summary>
/// What the assessment of a vessel rests on beside its readings. It is stored with each state that was made from it, so
/// that a state tells by itself whether it still holds, whatever changed while nobody looked.
/// </summary>
/// <param name="Definition">Digest of the specification and of what else counts for the whole time.</param>
/// <param name="Records">What counts from a moment on, ascending.</param>
public sealed record VesselBasis(string Definition, IReadOnlyList<BasisRecord> Records)
{
    /// <summary>The basis that a vessel gives.</summary>
    public static VesselBasis Of(Vessel vessel) => new(
        DigestOf(vessel),
        [
            .. vessel.RecordedCharges.Select(charge => new BasisRecord(charge.At, "charge"))
                .Concat(vessel.TransducerChanges.Select(change => new BasisRecord(change, "transducer change")))
                .Concat(vessel.RecordedChecks.Select(check => new BasisRecord(check.At, TextOf(check))))
                .Concat(vessel.Answers.Select(answer => new BasisRecord(answer.At, TextOf(answer))))
                .OrderBy(record => record.At).ThenBy(record => record.What, StringComparer.Ordinal),
        ]);

    /// <summary>From when on another basis says something else, UTC; the minimum for the whole time, null for never.</summary>
    /// <param name="other">The other basis; null where none is known.</param>
    public DateTimeOffset? DiffersFrom(VesselBasis? other)
    {
        if (other is null || other.Definition != Definition)
        {
            return DateTimeOffset.MinValue;
        }

        int same = 0;
        while (same < Records.Count && same < other.Records.Count && Records[same] == other.Records[same])
        {
            same++;
        }

        DateTimeOffset? here = same < Records.Count ? Records[same].At : null;
        DateTimeOffset? there = same < other.Records.Count ? other.Records[same].At : null;
        return here < there || there is null ? here : there;
    }

    private static string DigestOf(Vessel vessel) => Convert.ToHexString(SHA256.HashData(JsonSerializer.SerializeToUtf8Bytes(
        new Defined(vessel.Description, vessel.Place, vessel.Specification, vessel.Calendar), VesselBasisJson.Default.Defined)));

    private static string TextOf(PrechargeCheck check) => string.Create(
        CultureInfo.InvariantCulture, $"check {check.Pressure?.Pascals:R} Pa {check.Temperature?.Kelvins:R} K{(check.GaugeId.Length > 0 ? " " : "")}{check.GaugeId}");

    /// <summary>Two answers of one moment count in the order of their ids, here as in <see cref="Vessel.Answers"/>.</summary>
    private static string TextOf(JobAnswer answer) =>
        JsonSerializer.Serialize(answer, VesselBasisJson.Default.JobAnswer);

    /// <summary>What counts for the whole time: limits and sensors for the assessment, calendar and place for its jobs.</summary>
    internal sealed record Defined(string Description, string Place, VesselSpecification Specification, PlantCalendar Calendar);
}

[JsonSourceGenerationOptions(NumberHandling = JsonNumberHandling.AllowNamedFloatingPointLiterals)]
[JsonSerializable(typeof(VesselBasis.Defined))]
[JsonSerializable(typeof(JobAnswer))]
internal sealed partial class VesselBasisJson : JsonSerializerContext;
