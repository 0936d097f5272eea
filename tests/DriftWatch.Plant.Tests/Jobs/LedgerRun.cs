using DriftWatch.Plant.Jobs;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Plant.Tests.Jobs;

/// <summary>What the ledger says of the vessel of <see cref="Bench"/> from its start on.</summary>
internal static class LedgerRun
{
    /// <summary>Through these assessments, in order.</summary>
    public static (IReadOnlyList<JobNotice> Notices, LedgerState Ledger) Over(IEnumerable<Assessment> assessments)
    {
        LedgerState state = LedgerState.Start;
        List<JobNotice> notices = [];
        foreach (Assessment assessment in assessments)
        {
            (state, IReadOnlyList<JobNotice> own) = JobLedger.Advance(Bench.Vessel(), state, assessment);
            notices.AddRange(own);
        }

        return (notices, state);
    }

    /// <summary>A leak whose prognosis moves by ten days each day; from a start of its own, ended on the fifth day.</summary>
    public static (IReadOnlyList<JobNotice> Notices, LedgerState Ledger) OfMovingLeak(int start, int days) =>
        Over(Enumerable.Range(0, days).Select(day => Bench.Day(
            start + day, day == 4 ? Verdict.WithinLimits : Verdict.FallingFasterThanAllowed, earliestDay: 80 - (10 * day))));
}
