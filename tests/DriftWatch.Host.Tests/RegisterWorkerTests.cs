using DriftWatch.Acquisition.Payloads;
using DriftWatch.Host.Assessing;
using DriftWatch.Host.Health;
using DriftWatch.Host.Registering;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using Microsoft.Extensions.Logging.Abstractions;

namespace DriftWatch.Host.Tests;

/// <summary>What is told of a register file that somebody has spoilt by hand.</summary>
public sealed class RegisterWorkerTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    private string RegisterPath => _folder.File("register.json");

    public void Dispose() => _folder.Dispose();

    /// <summary>The former file is that before the last change on the pages, perhaps a year ago: it would take vessels off watch.</summary>
    [Fact]
    public async Task A_spoilt_file_is_mended_by_the_text_in_use_which_is_removed_once_it_is_good()
    {
        string good = await File.ReadAllTextAsync(Path.Combine(Repository.SampleStreams, "register.json"), Ended);
        await File.WriteAllTextAsync(RegisterPath, good, Ended);
        VesselRegister register = SampleReadings.Register();
        using var store = new PlantStore(new StoreOptions { Path = _folder.File("driftwatch.db") });
        LiveRegister live = new(register, store);
        using RegisterEditor editor = new(RegisterPath, live, store, TimeProvider.System);
        await editor.TakeInFileAsync(Ended);
        await File.WriteAllTextAsync(editor.FormerFile, "a year ago", Ended);
        await File.WriteAllTextAsync(RegisterPath, good[..^20], Ended);

        ServiceHealth health = new(TimeProvider.System, NullLogger<ServiceHealth>.Instance);
        using RegisterWorker worker = new(
            RegisterPath, editor, live, new ReadingDecoder(register), new WorkSignal(), health, NullLogger<RegisterWorker>.Instance);
        await worker.StartAsync(Ended);
        await UntilAsync(() => health.State == HealthState.Degraded);
        Complaint complaint = Assert.Single(Assert.Single(health.Parts).Complaints);
        Assert.Contains("the next start would fail", complaint.What, StringComparison.Ordinal);
        Assert.Contains($"put '{editor.InUseFile}' in its place", complaint.Mend, StringComparison.Ordinal);
        Assert.DoesNotContain(editor.FormerFile, complaint.Mend, StringComparison.Ordinal);
        Assert.Equal(good, await File.ReadAllTextAsync(editor.InUseFile, Ended));

        File.Copy(editor.InUseFile, RegisterPath, overwrite: true);
        await UntilAsync(() => health.State == HealthState.Good && !File.Exists(editor.InUseFile));
        await worker.StopAsync(Ended);
    }

    private static async Task UntilAsync(Func<bool> reached)
    {
        while (!reached())
        {
            await Task.Delay(20, Ended);
        }
    }
}
