using DriftWatch.Delivery.Dispatch;

namespace DriftWatch.Delivery.Tests.Dispatch;

public sealed class RetryDelayTests
{
    private static readonly TimeSpan First = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan Longest = TimeSpan.FromMinutes(5);

    [Theory]
    [InlineData(1, 0, 0.5)]
    [InlineData(1, 0.5, 0.75)]
    [InlineData(2, 0, 1)]
    [InlineData(4, 0, 4)]
    [InlineData(9, 0, 128)]
    [InlineData(10, 0, 150)]
    [InlineData(int.MaxValue, 0, 150)]
    public void Doubles_up_to_the_longest(int failures, double random, double seconds) =>
        Assert.Equal(TimeSpan.FromSeconds(seconds), RetryDelay.After(failures, First, Longest, random));

    [Fact]
    public void Lies_between_half_and_all_of_the_full_delay()
    {
        int seed = Random.Shared.Next();
        TestContext.Current.TestOutputHelper?.WriteLine($"seed {seed}");
        Random random = new(seed);
        for (int i = 0; i < 10_000; i++)
        {
            int failures = random.Next(1, 2000);
            TimeSpan delay = RetryDelay.After(failures, First, Longest, random.NextDouble());
            TimeSpan full = failures > 8 ? Longest : TimeSpan.FromSeconds(1 << (failures - 1));
            full = full < Longest ? full : Longest;
            Assert.InRange(delay, TimeSpan.Zero, full);
            if (failures != 9)
            {
                Assert.True(delay >= full / 2, $"{failures}: {delay}");
            }
        }
    }

    [Theory]
    [InlineData(0, 0)]
    [InlineData(1, 1)]
    [InlineData(1, -0.1)]
    [InlineData(1, double.NaN)]
    public void Refuses_what_is_out_of_range(int failures, double random) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => RetryDelay.After(failures, First, Longest, random));
}
