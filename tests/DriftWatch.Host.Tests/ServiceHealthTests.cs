using DriftWatch.Host.Health;
using DriftWatch.TestPeers;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Time.Testing;

namespace DriftWatch.Host.Tests;

/// <summary>How complaints add up to the state of a part, and what is logged of it.</summary>
public sealed class ServiceHealthTests
{
    private static readonly DateTimeOffset Begin = new(2026, 1, 5, 8, 0, 0, TimeSpan.Zero);

    private readonly FakeTimeProvider _clock = new(Begin);
    private readonly HeardLog<ServiceHealth> _log = new();
    private readonly ServiceHealth _health;

    public ServiceHealthTests() => _health = new ServiceHealth(_clock, _log);

    [Fact]
    public void A_part_is_as_bad_as_its_worst_complaint_since_it_came_to_that()
    {
        _health.Know("store");
        _clock.Advance(TimeSpan.FromMinutes(1));
        _health.Raise("store", Bad("packing", HealthState.Degraded));
        _clock.Advance(TimeSpan.FromMinutes(1));
        _health.Raise("store", Bad("write", HealthState.Failed));
        _clock.Advance(TimeSpan.FromMinutes(1));
        _health.Raise("store", Bad("write", HealthState.Failed) with { What = "Still." });

        PartHealth part = Assert.Single(_health.Parts);
        Assert.Equal((HealthState.Failed, Begin.AddMinutes(2)), (part.State, part.Since));
        Assert.Equal([("write", "Still.", Begin.AddMinutes(2)), ("packing", "packing fails", Begin.AddMinutes(1))], part.Complaints.Select(complaint => (complaint.Matter, complaint.What, complaint.Since)));

        _health.Settle("store", "write");
        Assert.Equal((HealthState.Degraded, Begin.AddMinutes(3)), (Assert.Single(_health.Parts).State, Assert.Single(_health.Parts).Since));
        _health.Settle("store", "packing");
        _health.Settle("store", "nothing of the kind");
        Assert.Equal(HealthState.Good, _health.State);
        Assert.Empty(Assert.Single(_health.Parts).Complaints);
    }

    [Fact]
    public void Each_change_of_state_is_logged_once()
    {
        for (int i = 0; i < 3; i++)
        {
            _health.Raise("influxdb", Bad("write", HealthState.Degraded));
        }

        _health.Settle("influxdb", "write");
        _health.Settle("influxdb", "write");
        Assert.Equal(
            [
                (LogLevel.Warning, "Part 'influxdb' of the service is Degraded: write fails To mend it: mend write"),
                (LogLevel.Information, "Part 'influxdb' of the service is well again"),
            ],
            _log.Said.Select(said => (said.Level, said.Text)));
    }

    /// <summary>A look that never ends, as on a disk that hangs, leaves all parts good: whoever asks must not take that for true.</summary>
    [Fact]
    public void A_service_whose_parts_are_looked_at_no_more_is_not_ready()
    {
        _health.Know("store");
        _clock.Advance(TimeSpan.FromSeconds(59));
        Assert.Null(HealthEndpoints.WhyNotReady(_health));
        _clock.Advance(TimeSpan.FromSeconds(2));
        Assert.Equal("the parts were last looked at 61 s ago, as when the disk of the store hangs", HealthEndpoints.WhyNotReady(_health));
        _health.Looked();
        Assert.Null(HealthEndpoints.WhyNotReady(_health));
    }

    private static Complaint Bad(string matter, HealthState state) => new(matter, state, matter + " fails", "mend " + matter);
}
