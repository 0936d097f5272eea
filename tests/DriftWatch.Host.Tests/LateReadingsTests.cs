using DriftWatch.Acquisition.Files;
using DriftWatch.Host.Assessing;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using Microsoft.Extensions.Logging.Abstractions;

namespace DriftWatch.Host.Tests;

/// <summary>A logger that keeps its readings until long after the silence was noticed changes nothing in the end.</summary>
public sealed class LateReadingsTests
{
    [Theory]
    [InlineData("PR1-A1")]
    [InlineData("HY1-A1")]
    [InlineData("SH1-A2")]
    public void Jobs_and_alarms_end_as_if_all_had_come_in_order(string id)
    {
        using TemporaryFolder inOrder = new();
        using TemporaryFolder late = new();
        VesselRegister register = RegisterFile.Open(Path.Combine(Repository.SampleStreams, "register.json"), TextWriter.Null)!;
        VesselReading[] readings =
        [
            .. new LoggerFileReader(register)
                .Read(Path.Combine(Repository.SampleStreams, id + ".csv.gz"), TimeProvider.System.GetUtcNow(), _ => { })
                .Where(reading => reading.VesselId == id)
                .OrderBy(reading => reading.Reading),
        ];
        DateTimeOffset end = readings[^1].Reading.Instant;
        int cut = readings.Length / 3;
        DateTimeOffset silence = readings[cut].Reading.Instant.AddDays(45);
        Assert.True(silence < end);

        using var expected = new PlantStore(new StoreOptions { Path = inOrder.File("driftwatch.db"), Channels = ["files"] });
        Feed(expected, register, end, readings);

        using var actual = new PlantStore(new StoreOptions { Path = late.File("driftwatch.db"), Channels = ["files"] });
        Feed(actual, register, silence, readings[..cut]);
        Job silent = actual.Jobs().Single(job => job is { State: JobState.Open, Job.Cause: JobCause.NoWindowTooLong }).Job;
        Assert.Equal(AlarmState.Unacknowledged, actual.Alarms(end).Of(id, AlarmKind.NoWindowTooLong).Status.State);

        Feed(actual, register, end, readings[cut..]);
        Assert.Equal(expected.LastAssessment(id), actual.LastAssessment(id));
        Assert.Equal(expected.Alarms(end).Journal, actual.Alarms(end).Journal);
        Assert.Equal(
            expected.CheckpointBefore(id, DateTimeOffset.MaxValue)!.State.ToArray(),
            actual.CheckpointBefore(id, DateTimeOffset.MaxValue)!.State.ToArray());

        // The queue has heard of the silence that was none, and that it was none; of all else as in order.
        JobNotice withdrawn = actual.LastNotices(id).Single(notice => notice.Job.Key == silent.Key);
        Assert.Equal((JobState.Closed, (JobEnd?)JobEnd.Withdrawn, 2), (withdrawn.State, withdrawn.End, withdrawn.Job.Revision));
        Assert.Equal(
            expected.Pending("files", int.MaxValue).Select(entry => entry.Notice.Key),
            actual.Pending("files", int.MaxValue).Select(entry => entry.Notice.Key).Where(key => !key.StartsWith(silent.Key, StringComparison.Ordinal)));
    }

    private static void Feed(PlantStore store, VesselRegister register, DateTimeOffset now, VesselReading[] readings)
    {
        store.Commit(readings, []);
        var assessor = new Assessor(register, store, AlarmHandling.Usual, TimeProvider.System, NullLogger<Assessor>.Instance);
        Assert.Equal(1, assessor.TakeInWaiting(CancellationToken.None));
        assessor.LetTimePass(now, CancellationToken.None);
    }
}
