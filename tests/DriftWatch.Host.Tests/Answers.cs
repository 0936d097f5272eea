using DriftWatch.Plant.Jobs;
using DriftWatch.Storage;

namespace DriftWatch.Host.Tests;

/// <summary>What two stores say of a vessel.</summary>
internal static class Answers
{
    /// <summary>Windows, assessment, alarms, jobs that stand and the state to go on from are the same bit for bit.</summary>
    public static void AssertSame(PlantStore expected, PlantStore actual, string vessel, DateTimeOffset asOf)
    {
        Assert.Equal(expected.Windows(vessel), actual.Windows(vessel));
        Assert.Equal(expected.LastAssessment(vessel), actual.LastAssessment(vessel));
        AssertSameState(expected, actual, vessel, asOf);
    }

    /// <summary>The same without the last assessment, whose moment is that of the last look.</summary>
    public static void AssertSameState(PlantStore expected, PlantStore actual, string vessel, DateTimeOffset asOf)
    {
        Assert.Equal(expected.Windows(vessel), actual.Windows(vessel));
        Assert.Equal(expected.Alarms(asOf).Journal, actual.Alarms(asOf).Journal);
        Assert.Equal(Standing(expected, vessel), Standing(actual, vessel));
        Assert.Equal(
            expected.CheckpointBefore(vessel, DateTimeOffset.MaxValue)!.State.ToArray(),
            actual.CheckpointBefore(vessel, DateTimeOffset.MaxValue)!.State.ToArray());
    }

    private static IEnumerable<string> Standing(PlantStore store, string vessel) =>
        store.LastNotices(vessel).Where(notice => notice.State == JobState.Open).Select(notice => notice.Job.Key);
}
