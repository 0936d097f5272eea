using DriftWatch.Acquisition.Payloads;
using DriftWatch.Host.Assessing;
using DriftWatch.Host.Health;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Registering;

/// <summary>
/// Notices a register file changed by hand, and work that another process put on record, and tells those who go by the
/// register. Looks from time to time rather than waits to be told, as network shares tell nothing.
/// </summary>
internal sealed class RegisterWorker : BackgroundService
{
    private static readonly TimeSpan LookEvery = TimeSpan.FromSeconds(2);

    private readonly string _file;
    private readonly RegisterEditor _editor;
    private readonly LiveRegister _register;
    private readonly ReadingDecoder _decoder;
    private readonly WorkSignal _signal;
    private readonly ServiceHealth _health;
    private readonly ILogger<RegisterWorker> _log;
    private readonly Lock _swap = new();
    private VesselRegister _decoded;
    private (DateTime Written, long Length)? _taken;
    private (DateTime Written, long Length) _seen;

    public RegisterWorker(
        string file, RegisterEditor editor, LiveRegister register, ReadingDecoder decoder, WorkSignal signal, ServiceHealth health, ILogger<RegisterWorker> log)
    {
        _file = file;
        _editor = editor;
        _register = register;
        _decoder = decoder;
        _signal = signal;
        _health = health;
        _log = log;
        _decoded = register.Current;
    }

    public override async Task StartAsync(CancellationToken cancellationToken)
    {
        _register.Changed += Follow;
        await base.StartAsync(cancellationToken);
    }

    public override async Task StopAsync(CancellationToken cancellationToken)
    {
        _register.Changed -= Follow;
        await base.StopAsync(cancellationToken);
    }

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        await Task.Yield();
        using var timer = new PeriodicTimer(LookEvery);
        do
        {
            try
            {
                _register.TakeInWork();
                await LookAtFileAsync(stoppingToken);
                _health.Settle(ServicePart.Register, Matter.Files);
            }
            catch (Exception exception) when (exception is IOException or UnauthorizedAccessException or StoreUnavailableException)
            {
                HostLog.RegisterWaits(_log, exception, exception.Message);
                _health.Raise(ServicePart.Register, new Complaint(
                    Matter.Files, HealthState.Degraded, exception.Message, "The register before stays in use and it is tried again every 2 s: let this user read the file, and see the store."));
            }
        }
        while (await timer.WaitForNextTickAsync(stoppingToken));
    }

    private async Task LookAtFileAsync(CancellationToken stop)
    {
        FileInfo info = new(_file);
        var now = (info.LastWriteTimeUtc, info.Exists ? info.Length : 0);
        bool stands = now == _seen;
        _seen = now;

        // The first look is at once; later a file must have stood still, as an editor may write it bit by bit.
        if (now == _taken || (_taken is not null && !stands))
        {
            return;
        }

        RegisterEdit edit = await _editor.TakeInFileAsync(stop);
        _taken = now;
        if (edit.Result == RegisterEditResult.Refused)
        {
            string inUse = await _editor.KeepInUseAsync(stop) is { } why
                ? $"The register in use could not be kept beside it: {why}"
                : $"Or put '{_editor.InUseFile}' in its place, which holds the register in use.";
            _health.Raise(ServicePart.Register, new Complaint(
                Matter.Defects, HealthState.Degraded,
                FormattableString.Invariant($"The register file was changed by hand and has {edit.Defects.Count} defect{(edit.Defects.Count == 1 ? "" : "s")}; the register before stays in use, but the next start would fail. {edit.Defects[0]}"),
                $"Mend the file '{_file}' before the next start ('register check' tells every defect); it is taken in by itself. {inUse}"));
            HostLog.RegisterRefused(_log, _file, edit.Defects.Count, string.Join(Environment.NewLine, edit.Defects));
        }
        else
        {
            _health.Settle(ServicePart.Register, Matter.Defects);
            if (edit.Result == RegisterEditResult.Done)
            {
                HostLog.RegisterTaken(_log, _file, edit.Changes.Count);
            }

            _editor.ForgetInUse();
        }
    }

    /// <summary>Whoever does not read the register at each use is told here.</summary>
    private void Follow(RegisterChange change)
    {
        lock (_swap)
        {
            VesselRegister now = _register.Current;
            if (Decodes(now) != Decodes(_decoded) || !Same(now, _decoded))
            {
                _decoder.Use(now);
            }

            _decoded = now;
        }

        _signal.Set();
    }

    private static string? Decodes(VesselRegister register) => register.TopicTemplate?.Text;

    /// <summary>Whether two registers bring readings in the same way: work on record changes none of it.</summary>
    private static bool Same(VesselRegister one, VesselRegister other) =>
        one.Vessels.Count == other.Vessels.Count && one.Vessels.All(vessel => other.Find(vessel.Id) is { } before
            && (ReferenceEquals(vessel, before) || (vessel.Specification == before.Specification && vessel.Sources.SequenceEqual(before.Sources))));
}
