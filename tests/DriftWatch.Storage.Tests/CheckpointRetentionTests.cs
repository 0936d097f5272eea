using DriftWatch.Storage.Tests.Support;

namespace DriftWatch.Storage.Tests;

public sealed class CheckpointRetentionTests
{
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2)]
    public void Few_are_all_kept(int count) =>
        Assert.Empty(CheckpointRetention.Superfluous([.. Enumerable.Range(0, count).Select(i => Given.Instant(i))]));

    [Fact]
    public void Over_years_few_stay_and_late_readings_find_one_not_far_before_them()
    {
        int seed = Random.Shared.Next();
        TestContext.Current.TestOutputHelper?.WriteLine($"seed {seed}");
        Random random = new(seed);
        List<DateTimeOffset> kept = [];
        DateTimeOffset first = Given.Instant();
        for (DateTimeOffset now = first; now < first.AddDays(1000); now = now.AddHours(1 + random.Next(48)))
        {
            kept.Add(now);
            foreach (DateTimeOffset superfluous in CheckpointRetention.Superfluous(kept))
            {
                Assert.True(kept.Remove(superfluous), "only what is there is dropped");
            }

            Assert.Equal(first, kept[0]);
            Assert.Equal(now, kept[^1]);
            for (int i = 1; i < kept.Count; i++)
            {
                // Two cells of the grid and the longest stride lie between neighbours at most.
                TimeSpan grid = now - kept[i] > CheckpointRetention.NearPast + (2 * CheckpointRetention.NearGrid) ? CheckpointRetention.FarGrid : CheckpointRetention.NearGrid;
                bool straddles = now - kept[i - 1] > CheckpointRetention.NearPast;
                TimeSpan most = straddles ? 2 * CheckpointRetention.FarGrid : 2 * grid;
                Assert.True(kept[i] - kept[i - 1] <= most + TimeSpan.FromDays(2), $"{kept[i - 1]:O} to {kept[i]:O} at {now:O}");
            }
        }

        // 120 d / 7 d + 880 d / 56 d, and the newest, the oldest and the borders.
        Assert.InRange(kept.Count, 30, 39);
    }
}
