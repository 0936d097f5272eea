namespace DriftWatch.Storage;

/// <summary>
/// Which checkpoints are kept, so that readings that come late can be taken in from a state not far before them while
/// their number stays small: the newest; of each week of the last 120 days the first; of each eight weeks before that
/// the first. Weeks stand on a fixed grid, so a checkpoint that is kept once is not dropped for a newer one of its week.
/// </summary>
public static class CheckpointRetention
{
    /// <summary>Near past: one a week is kept.</summary>
    public static TimeSpan NearPast { get; } = TimeSpan.FromDays(120);

    /// <summary>Distance of the grid in the near past.</summary>
    public static TimeSpan NearGrid { get; } = TimeSpan.FromDays(7);

    /// <summary>Distance of the grid before it: a multiple of the near one, so that its firsts are among the near firsts.</summary>
    public static TimeSpan FarGrid { get; } = TimeSpan.FromDays(56);

    /// <summary>Those to drop of the checkpoints given, which are in ascending order; empty gives empty.</summary>
    public static IReadOnlyList<DateTimeOffset> Superfluous(IReadOnlyList<DateTimeOffset> ascending)
    {
        List<DateTimeOffset> drop = [];
        for (int i = 1; i < ascending.Count - 1; i++)
        {
            TimeSpan grid = ascending[^1] - ascending[i] > NearPast ? FarGrid : NearGrid;
            if (Cell(ascending[i], grid) == Cell(ascending[i - 1], grid))
            {
                drop.Add(ascending[i]);
            }
        }

        return drop;
    }

    private static long Cell(DateTimeOffset instant, TimeSpan grid) => instant.UtcTicks / grid.Ticks;
}
