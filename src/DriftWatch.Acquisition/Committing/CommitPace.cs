namespace DriftWatch.Acquisition.Committing;

/// <summary>How many messages share a commit, and how long a failing one waits.</summary>
/// <param name="MostMessages">Most messages committed together, at least 1.</param>
/// <param name="ShortestRetry">Wait after the first failure; doubles each time; above 0.</param>
/// <param name="LongestRetry">Longest wait, not below the shortest.</param>
internal readonly record struct CommitPace(int MostMessages, TimeSpan ShortestRetry, TimeSpan LongestRetry)
{
    public TimeSpan Longer(TimeSpan wait) => wait * 2 < LongestRetry ? wait * 2 : LongestRetry;
}
