using System.Text;
using DriftWatch.Acquisition.Door;
using DriftWatch.Acquisition.Mqtt;
using DriftWatch.Acquisition.Payloads;
using DriftWatch.Acquisition.Tests.Mqtt;
using DriftWatch.TestPeers;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using MQTTnet;
using MQTTnet.Protocol;

namespace DriftWatch.Acquisition.Tests;

/// <summary>A source gone wild is held to its rate, and the others go on.</summary>
public class SourceRatesTests
{
    /// <summary>The worst honest case: three days of eight signals at 10 Hz, a message a value, one topic, all at once.</summary>
    [Fact]
    public void By_default_three_days_of_a_loggers_backlog_are_let_in_at_once()
    {
        SourceRates rates = new(new SourceRateOptions());
        DateTimeOffset now = new(2025, 6, 3, 7, 30, 0, TimeSpan.Zero);
        Assert.True(rates.Admits("a", now, now, out _));
        long refused = 0;
        for (DateTimeOffset instant = now.AddDays(-3); instant < now; instant = instant.AddSeconds(0.1))
        {
            for (int signal = 0; signal < 8; signal++)
            {
                refused += rates.Admits("a", now, instant, out _) ? 0 : 1;
            }
        }

        Assert.Equal(0, refused);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_source_that_says_the_same_time_again_and_again_is_cut_down_after_the_burst(bool withoutReadings)
    {
        SourceRateOptions options = new();
        SourceRates rates = new(options);
        DateTimeOffset now = new(2025, 6, 3, 7, 30, 0, TimeSpan.Zero);
        int admitted = Enumerable.Range(0, options.Burst + 1000).Count(_ => rates.Admits("a", now, withoutReadings ? null : now, out string? _));
        Assert.Equal(options.Burst, admitted);
        admitted = Enumerable.Range(0, 10_000).Count(_ => rates.Admits("a", now.AddSeconds(2), withoutReadings ? null : now, out string? _));
        Assert.Equal(2 * options.MessagesPerSecond, admitted);
    }

    /// <summary>Each instant told counts once: there and back gains nothing, nor does beginning a little earlier each time.</summary>
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(-1)]
    public void A_source_that_goes_back_and_forth_in_time_is_cut_down_after_the_burst(int driftInMilliseconds)
    {
        SourceRateOptions options = new() { MessagesPerSecond = 10, Burst = 100 };
        SourceRates rates = new(options);
        DateTimeOffset now = new(2025, 6, 3, 7, 30, 0, TimeSpan.Zero);
        int admitted = Enumerable.Range(0, 10_000).Count(message => rates.Admits(
            "a", now, now.AddMilliseconds(-100_000 + (driftInMilliseconds * message) + (1000 * (message % 2))), out string? _));

        // The drift tells of ten seconds more, and the first step of one.
        Assert.InRange(admitted, options.Burst, options.Burst + (11 * options.MessagesPerSecond));
    }

    /// <summary>Each outage's backlog comes after a live reading, and live ones go on between its own.</summary>
    [Fact]
    public void A_backlog_is_let_in_after_each_of_several_outages()
    {
        SourceRates rates = new(new SourceRateOptions { MessagesPerSecond = 10, Burst = 100 });
        DateTimeOffset now = new(2025, 6, 3, 7, 30, 0, TimeSpan.Zero);
        int refused = 0;
        for (int outage = 0; outage < 40; outage++)
        {
            now = now.AddHours(1);
            refused += rates.Admits("a", now, now, out _) ? 0 : 1;
            for (int second = -3000; second < 0; second++)
            {
                refused += rates.Admits("a", now, now.AddSeconds(second), out _) ? 0 : 1;
                refused += rates.Admits("a", now, now, out _) ? 0 : 1;
            }
        }

        Assert.Equal(0, refused);
    }

    [Fact]
    public async Task A_source_above_its_rate_is_cut_down_and_told_of_and_another_is_not()
    {
        CancellationToken ended = TestContext.Current.CancellationToken;
        FakeTimeProvider clock = new(new DateTimeOffset(2025, 6, 3, 7, 30, 0, TimeSpan.Zero));
        MemorySink sink = new();
        EmbeddedBrokerOptions options = new() { Port = FreePort.Find(), Rate = new() { MessagesPerSecond = 1, Burst = 3 } };
        ReadingDecoder decoder = new(TestRegister.Of(TestRegister.Vessel("A1", "works/a1"), TestRegister.Vessel("A2", "works/a2")));
        await using EmbeddedBroker broker = new(options, decoder, sink, clock, NullLogger<EmbeddedBroker>.Instance);
        await broker.StartAsync();
        using IMqttClient source = new MqttClientFactory().CreateMqttClient();
        await source.ConnectAsync(new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", options.Port).Build(), ended);

        for (int message = 0; message < 10; message++)
        {
            await SendAsync("works/a1", message);
        }

        await SendAsync("works/a2", 0);
        Assert.Equal(4, sink.Readings.Count);
        Assert.Equal(7, broker.Tally.Refused);
        Assert.Equal([new SourceRefusals("works/a1", 7, clock.GetUtcNow())], broker.Tally.Refusals);
        Assert.Contains("more than 1 messages a second; 1 were refused so far", Assert.Single(sink.Quarantined).Reason, StringComparison.Ordinal);

        clock.Advance(TimeSpan.FromSeconds(2));
        for (int message = 10; message < 14; message++)
        {
            await SendAsync("works/a1", message);
        }

        Assert.Equal(6, sink.Readings.Count);
        clock.Advance(TimeSpan.FromMinutes(1));
        for (int message = 14; message < 18; message++)
        {
            await SendAsync("works/a1", message);
        }

        Assert.Equal(9, sink.Readings.Count);
        Assert.Contains("10 were refused so far", sink.Quarantined[^1].Reason, StringComparison.Ordinal);

        // At QoS 1 the broker answers after the commit.
        Task SendAsync(string topic, int minute) => source.PublishBinaryAsync(
            topic, Encoding.UTF8.GetBytes($$"""{ "time": {{1748935800 - (60 * minute)}}, "gas-pressure": 100 }"""), MqttQualityOfServiceLevel.AtLeastOnce, cancellationToken: ended);
    }

    [Fact]
    public void Rates_out_of_range_are_told_together()
    {
        ArgumentException exception = Assert.Throws<ArgumentException>(new Acquisition.Door.SourceRateOptions { MessagesPerSecond = double.NaN, Burst = 0 }.Validate);
        Assert.Equal("MessagesPerSecond is NaN; allowed is above 0 to 1000000. Burst is 0; allowed is 1 or more.", exception.Message);
    }
}
