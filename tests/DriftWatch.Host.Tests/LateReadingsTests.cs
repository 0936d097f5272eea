using DriftWatch.Host.Assessing;
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
        VesselRegister register = SampleReadings.Register();
        VesselReading[] readings = SampleReadings.Of(register, id);
        DateTimeOffset end = readings[^1].Reading.Instant;
        int cut = readings.Length / 3;
        DateTimeOffset silence = readings[cut].Reading.Instant.AddDays(45);
        Assert.True(silence < end);

        using var expected = new PlantStore(new StoreOptions { Path = inOrder.File("driftwatch.db"), Channels = ["files"], TellsPast = true });
        Feed(expected, register, end, readings);

        using var actual = new PlantStore(new StoreOptions { Path = late.File("driftwatch.db"), Channels = ["files"], TellsPast = true });
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

    [Theory]
    [InlineData("EM1-A1")]
    [InlineData("HY1-A2")]
    [InlineData("PR2-A1")]
    [InlineData("SH1-A1")]
    public void A_queue_is_told_of_imported_months_what_stands_at_their_end(string id)
    {
        using TemporaryFolder folder = new();
        VesselRegister register = SampleReadings.Register();
        VesselReading[] readings = SampleReadings.Of(register, id);
        using var store = new PlantStore(new StoreOptions { Path = folder.File("driftwatch.db"), Channels = ["files"] });
        Feed(store, register, readings[^1].Reading.Instant, readings);
        StoredJob[] jobs = [.. store.Jobs().Where(job => job.Job.VesselId == id)];
        Assert.Contains(jobs, job => job.State == JobState.Closed || job.Job.Revision > 1);
        Assert.Equal(
            jobs.Where(job => job.State == JobState.Open).Select(job => $"{job.Job.Key}/open/{job.Job.Revision}"),
            store.Pending("files", int.MaxValue).Select(entry => entry.Notice.Key));
        Assert.All(store.Pending("files", int.MaxValue), entry => Assert.Equal("", ((JobNotice)entry.Notice).Why));
    }

    private static void Feed(PlantStore store, VesselRegister register, DateTimeOffset now, VesselReading[] readings)
    {
        store.Commit(readings, []);
        var assessor = new Assessor(register, store, AlarmHandling.Usual, TimeProvider.System, NullLogger<Assessor>.Instance);
        Assert.Equal(1, assessor.TakeInWaiting(CancellationToken.None));
        assessor.LetTimePass(now, CancellationToken.None);
    }
}
