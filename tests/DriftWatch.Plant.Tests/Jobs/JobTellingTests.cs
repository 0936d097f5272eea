using CsCheck;
using DriftWatch.Plant.Jobs;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Plant.Tests.Jobs;

public class JobTellingTests
{
    private static readonly DateTimeOffset Late = Bench.Start.AddDays(99);

    private readonly Dictionary<string, JobNotice> _told = [];

    [Fact]
    public void Without_late_readings_all_passes_as_it_is()
    {
        (IReadOnlyList<JobNotice> notices, LedgerState ledger) = LedgerRun.OfMovingLeak(0, 3);
        Assert.Equal(notices, Tell(notices, ledger));
        Assert.Empty(Tell(notices, ledger));
    }

    [Fact]
    public void A_job_that_late_readings_took_away_is_withdrawn_and_one_that_they_bring_back_is_told_again()
    {
        (IReadOnlyList<JobNotice> notices, LedgerState ledger) = LedgerRun.OfMovingLeak(0, 1);
        Tell(notices, ledger);
        JobNotice withdrawn = Assert.Single(Tell([], LedgerState.Start));
        Assert.Equal((JobState.Closed, (JobEnd?)JobEnd.Withdrawn, 2), (withdrawn.State, withdrawn.End, withdrawn.Job.Revision));
        JobNotice again = Assert.Single(Tell(notices, ledger));
        Assert.Equal((JobState.Open, notices[0].Job.Key, 3, "T1/FallingFasterThanAllowed/20260202T060000Z/open/3"), (again.State, again.Job.Key, again.Job.Revision, again.Key));
        Assert.Empty(Tell([], ledger));
    }

    [Fact]
    public void A_closed_job_that_stands_again_after_late_readings_is_told_again()
    {
        (IReadOnlyList<JobNotice> notices, LedgerState ledger) = LedgerRun.OfMovingLeak(0, 1);
        Tell(notices, ledger);
        (_, IReadOnlyList<JobNotice> closing) = JobLedger.Advance(Bench.Vessel(), ledger, Bench.Day(5, Verdict.WithinLimits));
        Assert.Equal(JobState.Closed, Assert.Single(Tell(closing, LedgerState.Start)).State);
        Assert.Equal((JobState.Open, 3), Tell([], ledger).Select(notice => (notice.State, notice.Job.Revision)).Single());
    }

    [Fact]
    public void Another_content_after_late_readings_goes_out_under_the_next_revision()
    {
        (IReadOnlyList<JobNotice> notices, LedgerState ledger) = LedgerRun.OfMovingLeak(0, 3);
        Tell(notices, ledger);
        int told = _told.Values.Single().Job.Revision;
        (IReadOnlyList<JobNotice> fewer, LedgerState before) = LedgerRun.OfMovingLeak(0, 1);
        JobNotice other = Assert.Single(Tell(fewer, before));
        Assert.Equal(told + 1, other.Job.Revision);
        Assert.Equal("Readings that came late changed the picture.", other.Why);
    }

    /// <summary>A channel may keep the newest word of a cause alone: it is to be that on the job that stands.</summary>
    [Fact]
    public void A_job_that_late_readings_put_in_the_place_of_another_is_told_after_its_withdrawal()
    {
        (IReadOnlyList<JobNotice> notices, LedgerState ledger) = LedgerRun.OfMovingLeak(0, 1);
        Tell(notices, ledger);
        (IReadOnlyList<JobNotice> other, LedgerState later) = LedgerRun.OfMovingLeak(1, 1);
        Assert.Equal(
            [(notices[0].Job.Key, JobState.Closed), (other[0].Job.Key, JobState.Open)],
            Tell(other, later).Select(notice => (notice.Job.Key, notice.State)));
    }

    [Fact]
    public void A_job_that_stands_is_told_again_after_another_word_on_one_that_has_gone()
    {
        (IReadOnlyList<JobNotice> notices, LedgerState ledger) = LedgerRun.OfMovingLeak(0, 6);
        Tell(notices, ledger);
        JobNotice[] other = [.. notices.Select(notice => notice.State == JobState.Closed ? notice with { Why = "Another end." } : notice)];
        JobNotice[] told = [.. Tell(other, ledger)];
        Job standing = Assert.Single(ledger.Standing).Job;
        Assert.Equal([JobState.Closed, JobState.Open], told.Select(notice => notice.State));
        Assert.Equal((standing.Key, 2), (told[1].Job.Key, told[1].Job.Revision));
        Assert.Empty(Tell(other, ledger));
    }

    /// <summary>
    /// Whatever the ledger says, going back as it likes: the receiver that lets the greatest revision stand has its jobs, and so has one that
    /// keeps the last word of each cause.
    /// </summary>
    [Fact]
    public void The_receiver_ends_with_the_jobs_that_stand() =>
        Gen.Select(Gen.Int[0, 2], Gen.Int[1, 6]).List[1, 12].Sample(runs =>
        {
            _told.Clear();
            HashSet<string> keys = [];
            Dictionary<JobCause, JobNotice> retained = [];
            foreach ((int start, int days) in runs)
            {
                (IReadOnlyList<JobNotice> notices, LedgerState ledger) = LedgerRun.OfMovingLeak(start, days);
                foreach (JobNotice notice in Tell(notices, ledger))
                {
                    Assert.True(keys.Add(notice.Key), notice.Key);
                    retained[notice.Job.Cause] = notice;
                }

                Assert.Equal(
                    ledger.Standing.Select(standing => (standing.Job.Key, standing.Job.Reason, standing.Job.Due)).Order(),
                    _told.Values.Where(notice => notice.State == JobState.Open).Select(notice => (notice.Job.Key, notice.Job.Reason, notice.Job.Due)).Order());
                Assert.Equal(
                    ledger.Standing.Select(standing => standing.Job.Key).Order(),
                    retained.Values.Where(notice => notice.State == JobState.Open).Select(notice => notice.Job.Key).Order());
            }
        }, threads: 1);

    private IReadOnlyList<JobNotice> Tell(IReadOnlyList<JobNotice> notices, LedgerState ledger)
    {
        IReadOnlyList<JobNotice> outstanding = JobTelling.Outstanding([.. _told.Values], notices, ledger, Late);
        foreach (JobNotice notice in outstanding)
        {
            Assert.True(!_told.TryGetValue(notice.Job.Key, out JobNotice? last) || notice.Job.Revision > last.Job.Revision);
            _told[notice.Job.Key] = notice;
        }

        return outstanding;
    }
}
