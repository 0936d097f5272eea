using DriftWatch.Host.Web.Vessels;
using DriftWatch.Trends.Windows;
using DriftWatch.Web.Tests;

[assembly: AssemblyFixture(typeof(DeskFixture))]

namespace DriftWatch.Web.Tests;

/// <summary>One filled store and one server for all tests, which only read.</summary>
public sealed class DeskFixture : IAsyncLifetime
{
    internal SamplePlant Plant { get; private set; } = null!;

    internal ServedDesk Desk { get; private set; } = null!;

    /// <summary>Id of an accepted window of the vessel PR1-A1.</summary>
    internal string WindowOfPress =>
        WindowId.Of(Plant.Store.Windows("PR1-A1").Last(window => window.Standing == WindowStanding.Accepted));

    public async ValueTask InitializeAsync()
    {
        Plant = SamplePlant.Fill();
        Desk = await ServedDesk.StartAsync(Plant.Register, Plant.Store, Plant.Clock);
    }

    public async ValueTask DisposeAsync()
    {
        await Desk.DisposeAsync();
        Plant.Dispose();
    }
}
