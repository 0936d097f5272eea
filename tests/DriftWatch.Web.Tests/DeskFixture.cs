using DriftWatch.Host.Health;
using DriftWatch.Host.Web.Vessels;
using DriftWatch.Trends.Windows;
using DriftWatch.Web.Tests;
using Microsoft.Extensions.Logging.Abstractions;

[assembly: AssemblyFixture(typeof(DeskFixture))]

namespace DriftWatch.Web.Tests;

/// <summary>One filled store and one server for all tests, which only read.</summary>
public sealed class DeskFixture : IAsyncLifetime
{
    internal SamplePlant Plant { get; private set; } = null!;

    internal ServedDesk Desk { get; private set; } = null!;

    /// <summary>A service in trouble.</summary>
    internal ServiceHealth Health { get; } = new(TimeProvider.System, NullLogger<ServiceHealth>.Instance);

    /// <summary>Id of an accepted window of the vessel PR1-A1.</summary>
    internal string WindowOfPress =>
        WindowId.Of(Plant.Store.Windows("PR1-A1").Last(window => window.Standing == WindowStanding.Accepted));

    public async ValueTask InitializeAsync()
    {
        Plant = SamplePlant.Fill();
        Health.Know(ServicePart.Assessment);
        Health.Raise(ServicePart.Store, new Complaint("write", HealthState.Failed, "The disk is full.", "Free space."));
        Health.Raise(ServicePart.Store, new Complaint("packing", HealthState.Degraded, "Packing waits.", "Nothing: it is tried again."));
        Health.Raise(ServicePart.Queue("csv"), new Complaint("delivery", HealthState.Degraded, "It takes no notices.", "Mount the share."));
        Desk = await ServedDesk.StartAsync(Plant.Register, Plant.Store, Plant.Clock, health: Health);
    }

    public async ValueTask DisposeAsync()
    {
        await Desk.DisposeAsync();
        Plant.Dispose();
    }
}
