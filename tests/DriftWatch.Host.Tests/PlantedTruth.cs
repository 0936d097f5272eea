using System.Text.Json;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Host.Tests;

/// <summary>What was planted in a vessel of the sample plant.</summary>
internal sealed record PlantedTruth(
    string Id, string Kind, Verdict ExpectedVerdict, double PrechargeAtEndBarGauge, double LossBarPerMonth, DateTimeOffset? Crossing)
{
    public static IReadOnlyList<PlantedTruth> All { get; } = Read();

    private static List<PlantedTruth> Read()
    {
        using JsonDocument document = JsonDocument.Parse(File.ReadAllText(Path.Combine(Repository.SampleStreams, "truth.json")));
        return
        [
            .. document.RootElement.GetProperty("vessels").EnumerateArray().Select(vessel => new PlantedTruth(
                vessel.GetProperty("id").GetString()!,
                vessel.GetProperty("kind").GetString()!,
                Enum.Parse<Verdict>(vessel.GetProperty("expectedVerdict").GetString()!),
                vessel.GetProperty("prechargeAtEndBarGauge").GetDouble(),
                vessel.GetProperty("lossBarPerMonth").GetDouble(),
                vessel.GetProperty("lowerLimitCrossing") is { ValueKind: JsonValueKind.String } crossing ? crossing.GetDateTimeOffset() : null)),
        ];
    }
}
