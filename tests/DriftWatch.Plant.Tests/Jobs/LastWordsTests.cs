using DriftWatch.Plant.Jobs;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Plant.Tests.Jobs;

public class LastWordsTests
{
    [Fact]
    public void A_job_that_stands_is_told_once_and_as_new_however_often_it_has_changed()
    {
        JobNotice[] notices = Leak(4);
        Assert.Equal(4, notices.Length);
        JobNotice told = Assert.Single(LastWords.Of(notices, _ => false));
        Assert.Equal(notices[^1] with { Why = "" }, told);
        Assert.NotEqual("", notices[^1].Why);
    }

    [Fact]
    public void A_job_that_has_ended_before_anything_was_told_of_it_is_left_out()
    {
        JobNotice[] notices = Leak(5);
        Assert.Equal(JobState.Closed, notices[^1].State);
        Assert.Empty(LastWords.Of(notices, _ => false));
    }

    [Fact]
    public void Of_a_job_that_was_told_of_the_newest_word_is_told_with_its_reason()
    {
        JobNotice[] notices = Leak(5);
        Assert.Equal([notices[3]], LastWords.Of(notices[..4], _ => true));
        Assert.Equal([notices[4]], LastWords.Of(notices, _ => true));
    }

    /// <summary>A channel may keep the newest word of a cause alone: the job that stands keeps it.</summary>
    [Fact]
    public void The_order_is_that_of_the_last_notices()
    {
        JobNotice[] one = Leak(5);
        JobNotice[] other = Leak(2, start: 20);
        Assert.Equal(
            [one[4], other[1]],
            LastWords.Of([other[0], .. one, other[1]], _ => true));
    }

    [Fact]
    public void A_job_that_gave_way_to_one_left_out_ends_as_that_one_did()
    {
        (IReadOnlyList<JobNotice> notices, _) = LedgerRun.Over(
            [Bench.Day(1, Verdict.FallingFasterThanAllowed), Bench.Day(5, Verdict.BelowLowerLimit), Bench.Day(9, Verdict.WithinLimits)]);
        string leak = notices[0].Job.Key;
        JobNotice told = Assert.Single(LastWords.Of([.. notices.Skip(1)], key => key == leak));
        Assert.Equal((leak, (JobEnd?)JobEnd.CauseEnded, notices[^1].At, notices[^1].Why), (told.Job.Key, told.End, told.At, told.Why));

        // Where the successor stands it is told, and what gave way says so.
        Assert.Equal([JobEnd.Superseded, null], LastWords.Of([.. notices.Skip(1).SkipLast(1)], key => key == leak).Select(notice => notice.End));
    }

    private static JobNotice[] Leak(int days, int start = 0) => [.. LedgerRun.OfMovingLeak(start, days).Notices];
}
