using System.Text;
using System.Text.Json.Nodes;
using DriftWatch.Delivery.Files;
using DriftWatch.Plant.Records;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;

namespace DriftWatch.Host.Registering;

/// <summary>
/// Changes the register file, which stays the truth of the specifications. Whatever the way of a change, the whole register
/// is checked before it counts; the file is replaced whole with the former one kept beside it (<c>.former</c>), every field
/// is put on record with who and when, and the register in use is swapped. A file that somebody changed by hand is taken in
/// the same way by <see cref="TakeInFileAsync"/>. Any number of callers; one change at a time.
/// </summary>
public sealed class RegisterEditor : IDisposable
{
    private readonly string _file;
    private readonly LiveRegister _register;
    private readonly IRegisterAudit _audit;
    private readonly TimeProvider _clock;
    private readonly SemaphoreSlim _turn = new(1, 1);

    /// <summary>An editor of a file.</summary>
    /// <param name="file">Path of the register file.</param>
    /// <param name="register">The register in use.</param>
    /// <param name="audit">Where changes are put on record.</param>
    /// <param name="clock">Tells when.</param>
    public RegisterEditor(string file, LiveRegister register, IRegisterAudit audit, TimeProvider clock)
    {
        _file = file;
        _register = register;
        _audit = audit;
        _clock = clock;
    }

    /// <summary>Where the former file is kept.</summary>
    public string FormerFile => _file + ".former";

    /// <summary>Where the text in use is kept while the file has defects.</summary>
    public string InUseFile => _file + ".in-use";

    /// <summary>
    /// Keeps the text of the register in use beside a file that has defects, so that it can be put back: the former file may be that of
    /// a year ago.
    /// </summary>
    /// <returns>Null when it is kept; else why not.</returns>
    public async Task<string?> KeepInUseAsync(CancellationToken stop)
    {
        try
        {
            if (_audit.AuditedText() is not { } text)
            {
                return "none was taken in yet";
            }

            await WholeFile.WriteAsync(InUseFile, Encoding.UTF8.GetBytes(text), stop);
            return null;
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException or StoreUnavailableException)
        {
            return failure.Message;
        }
    }

    /// <summary>Removes what was kept by <see cref="KeepInUseAsync"/>: once the file is good again, it would be older than it says.</summary>
    /// <exception cref="IOException">It cannot be removed.</exception>
    /// <exception cref="UnauthorizedAccessException">It may not be removed.</exception>
    public void ForgetInUse() => File.Delete(InUseFile);

    /// <summary>The file as it is now.</summary>
    /// <exception cref="IOException">It cannot be read.</exception>
    public async Task<RegisterFileState> ReadAsync(CancellationToken stop)
    {
        string text = await File.ReadAllTextAsync(_file, stop);
        return new RegisterFileState(text, RegisterText.DigestOf(text));
    }

    /// <summary>The entry of a vessel in the file as it is now.</summary>
    /// <returns>The entry, null where there is none; and the defects of a file that somebody has spoilt by hand: nothing is read from it.</returns>
    /// <exception cref="IOException">It cannot be read.</exception>
    public async Task<(JsonObject? Entry, IReadOnlyList<RegisterDefect> Defects)> EntryAsync(string vesselId, CancellationToken stop)
    {
        string text = (await ReadAsync(stop)).Text;
        RegisterOutcome outcome = RegisterReader.Read(text);
        return outcome.Register is null ? (null, outcome.Defects) : (RegisterText.EntryOf(text, vesselId), []);
    }

    /// <summary>Changes the entry of a vessel, or adds one.</summary>
    /// <param name="vesselId">The vessel that the entry replaces; one that is not in the file is added.</param>
    /// <param name="entry">Its whole entry, as the schema of the register describes it.</param>
    /// <param name="who">Who changes it.</param>
    /// <param name="source">The way it comes.</param>
    /// <param name="version">Version of the file that the change was made on.</param>
    /// <param name="stop">Ends it before anything is written.</param>
    public Task<RegisterEdit> PutAsync(
        string vesselId, JsonObject entry, string who, RecordSource source, string version, CancellationToken stop) =>
        ChangeAsync(text => RegisterText.Put(text, vesselId, entry), who, source, version, stop);

    /// <summary>Takes a vessel out of the register. Its readings and records stay in the store.</summary>
    /// <inheritdoc cref="PutAsync"/>
    public Task<RegisterEdit> RemoveAsync(string vesselId, string who, RecordSource source, string version, CancellationToken stop) =>
        ChangeAsync(
            text => RegisterText.EntryOf(text, vesselId) is null ? null : RegisterText.Remove(text, vesselId), who, source, version, stop);

    /// <summary>Replaces the whole text.</summary>
    /// <inheritdoc cref="PutAsync"/>
    public Task<RegisterEdit> ReplaceAsync(string text, string who, RecordSource source, string version, CancellationToken stop) =>
        ChangeAsync(_ => text, who, source, version, stop);

    /// <summary>Takes in a file that was changed by hand: refused with its defects, the register in use stays as it is.</summary>
    /// <exception cref="IOException">It cannot be read.</exception>
    public async Task<RegisterEdit> TakeInFileAsync(CancellationToken stop)
    {
        await _turn.WaitAsync(stop);
        try
        {
            string text = await File.ReadAllTextAsync(_file, stop);
            return TakeIn(_audit.AuditedText(), text, RegisterReader.Read(text), "", RecordSource.File);
        }
        finally
        {
            _turn.Release();
        }
    }

    /// <inheritdoc/>
    public void Dispose() => _turn.Dispose();

    private async Task<RegisterEdit> ChangeAsync(
        Func<string, string?> change, string who, RecordSource source, string version, CancellationToken stop)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(who);
        await _turn.WaitAsync(stop);
        try
        {
            string before = await File.ReadAllTextAsync(_file, stop);
            if (RegisterText.DigestOf(before) != version)
            {
                return new RegisterEdit(RegisterEditResult.Outdated, [], []);
            }

            if (RegisterReader.Read(before) is { Register: null } broken)
            {
                // Somebody is at the file by hand, and it is not good: nothing can be put into it.
                return new RegisterEdit(RegisterEditResult.Refused, broken.Defects, []);
            }

            if (change(before) is not { } after)
            {
                return new RegisterEdit(RegisterEditResult.NoSuchVessel, [], []);
            }

            RegisterOutcome outcome = RegisterReader.Read(after);
            if (outcome.Register is null)
            {
                return new RegisterEdit(RegisterEditResult.Refused, outcome.Defects, []);
            }

            if (RegisterText.Changes(before, after).Count == 0)
            {
                return new RegisterEdit(RegisterEditResult.Unchanged, [], []);
            }

            // What was changed by hand before it goes on record as that, not as this change.
            _ = TakeIn(_audit.AuditedText(), before, RegisterReader.Read(before), "", RecordSource.File);
            try
            {
                await WholeFile.WriteAsync(FormerFile, Encoding.UTF8.GetBytes(before), stop);
                await WholeFile.WriteAsync(_file, Encoding.UTF8.GetBytes(after), stop);
            }
            catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
            {
                return new RegisterEdit(RegisterEditResult.Refused, [Unwritable(failure)], []);
            }

            return TakeIn(before, after, outcome, who, source);
        }
        finally
        {
            _turn.Release();
        }
    }

    /// <summary>A file is replaced whole, by one that is written beside it.</summary>
    private RegisterDefect Unwritable(Exception failure) => new(
        _file, null, $"The register file cannot be written: {failure.Message}",
        $"Let the user that the service runs as write the folder '{Path.GetDirectoryName(Path.GetFullPath(_file))}' and see that its disk has room, or edit the file by hand.");

    /// <summary>Puts the changes on record and swaps the register.</summary>
    private RegisterEdit TakeIn(string? audited, string text, RegisterOutcome outcome, string who, RecordSource source)
    {
        if (outcome.Register is not { } register)
        {
            return new RegisterEdit(RegisterEditResult.Refused, outcome.Defects, []);
        }

        IReadOnlyList<RegisterFieldChange> changes = audited is null ? [] : RegisterText.Changes(audited, text);
        if (audited != text)
        {
            DateTimeOffset now = _clock.GetUtcNow();
            _audit.Record(
                [.. changes.Select(change => new RegisterAuditEntry(now, who, source, change.VesselId, change.Field, change.Before, change.After))], text);
        }

        _register.Replace(register);
        return new RegisterEdit(changes.Count == 0 ? RegisterEditResult.Unchanged : RegisterEditResult.Done, [], changes);
    }
}
