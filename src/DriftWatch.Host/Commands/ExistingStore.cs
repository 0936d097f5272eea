using DriftWatch.Host.Settings;
using DriftWatch.Storage;

namespace DriftWatch.Host.Commands;

/// <summary>
/// The store of a service that has run. A command that only looks or adds must not found one: it would answer from an empty store
/// where the settings name another folder than the service's.
/// </summary>
internal static class ExistingStore
{
    /// <summary>The store, opened; or null, with the reason told.</summary>
    public static PlantStore? Open(ServiceSettings settings, TextWriter errors) =>
        Has(settings, errors) ? new PlantStore(new StoreOptions { Path = ServiceComposition.StorePath(settings) }) : null;

    /// <summary>
    /// Does work on the store that the settings name; their secrets need not be at hand for it. Bad input where the settings have
    /// faults or there is no store, with the reason told.
    /// </summary>
    /// <returns>The exit code.</returns>
    public static int With(FileInfo file, Func<ServiceSettings, PlantStore, int> work)
    {
        if (SettingsOption.Read(file, Console.Error) is not { } settings)
        {
            return ExitCode.BadInput;
        }

        using PlantStore? store = Open(settings, Console.Error);
        return store is null ? ExitCode.BadInput : work(settings, store);
    }

    /// <summary>Whether there is one; that there is none is told.</summary>
    public static bool Has(ServiceSettings settings, TextWriter errors)
    {
        string path = ServiceComposition.StorePath(settings);
        if (File.Exists(path))
        {
            return true;
        }

        errors.WriteLine($"There is no store {path} yet: run the service or the demo first, or name the settings file that the service runs with (--settings); 'dataFolder' in it says where the store is.");
        return false;
    }
}
