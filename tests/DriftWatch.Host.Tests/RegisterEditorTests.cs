using System.Text.Json.Nodes;
using DriftWatch.Host.Registering;
using DriftWatch.Plant.Records;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using Microsoft.Extensions.Time.Testing;

namespace DriftWatch.Host.Tests;

/// <summary>The register file changed by way of the program, and by hand.</summary>
public sealed class RegisterEditorTests : IDisposable
{
    private static readonly DateTimeOffset Noon = new(2026, 3, 1, 12, 0, 0, TimeSpan.Zero);

    private readonly TemporaryFolder _folder = new();
    private readonly PlantStore _store;
    private readonly LiveRegister _live;
    private readonly RegisterEditor _editor;

    public RegisterEditorTests()
    {
        File.Copy(Path.Combine(Repository.SampleStreams, "register.json"), RegisterPath);
        _store = new PlantStore(new StoreOptions { Path = _folder.File("driftwatch.db") });
        _live = new LiveRegister(SampleReadings.Register(), _store);
        _editor = new RegisterEditor(RegisterPath, _live, _store, new FakeTimeProvider(Noon));
    }

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    private string RegisterPath => _folder.File("register.json");

    public void Dispose()
    {
        _editor.Dispose();
        _store.Dispose();
        _folder.Dispose();
    }

    [Fact]
    public async Task A_change_is_in_the_file_in_use_and_on_record_and_the_former_file_is_kept()
    {
        RegisterFileState before = await _editor.ReadAsync(Ended);
        JsonObject entry = RegisterText.EntryOf(before.Text, "PR1-A1")!;
        entry["precharge"]!["lowerLimitBarGauge"] = 91;
        RegisterEdit edit = await _editor.PutAsync("PR1-A1", entry, "H. Example", RecordSource.Page, before.Version, Ended);

        Assert.Equal(RegisterEditResult.Done, edit.Result);
        Assert.Equal(91, _live.Current.Find("PR1-A1")!.Specification.LowerLimit.Bar, 12);
        Assert.Equal(91, RegisterReader.Read(await File.ReadAllTextAsync(RegisterPath, Ended)).Register!.Find("PR1-A1")!.Specification.LowerLimit.Bar, 12);
        Assert.Equal(before.Text, await File.ReadAllTextAsync(_editor.FormerFile, Ended));
        Assert.Equal(
            [new RegisterAuditEntry(Noon, "H. Example", RecordSource.Page, "PR1-A1", "precharge.lowerLimitBarGauge", "90", "91")],
            _store.Audit("PR1-A1", 10));
    }

    [Fact]
    public async Task A_change_that_makes_defects_is_refused_with_all_of_them_and_nothing_has_changed()
    {
        RegisterFileState before = await _editor.ReadAsync(Ended);
        JsonObject entry = RegisterText.EntryOf(before.Text, "PR1-A1")!;
        entry["precharge"]!["lowerLimitBarGauge"] = 101;
        entry["type"] = "balloon";
        VesselRegister inUse = _live.Current;
        RegisterEdit edit = await _editor.PutAsync("PR1-A1", entry, "H. Example", RecordSource.Page, before.Version, Ended);

        Assert.Equal(RegisterEditResult.Refused, edit.Result);
        Assert.Equal(2, edit.Defects.Count);
        Assert.All(edit.Defects, defect => Assert.Equal("PR1-A1", defect.VesselId));
        Assert.Same(inUse, _live.Current);
        Assert.Equal(before.Text, await File.ReadAllTextAsync(RegisterPath, Ended));
        Assert.False(File.Exists(_editor.FormerFile));
        Assert.Empty(_store.Audit(null, 10));
    }

    [Fact]
    public async Task A_change_made_on_a_file_that_is_no_longer_so_is_not_made()
    {
        RegisterFileState seen = await _editor.ReadAsync(Ended);
        JsonObject entry = RegisterText.EntryOf(seen.Text, "PR1-A1")!;
        entry["place"] = "Elsewhere";
        Assert.Equal(RegisterEditResult.Done, (await _editor.PutAsync("PR1-A1", entry, "H. Example", RecordSource.Page, seen.Version, Ended)).Result);
        Assert.Equal(RegisterEditResult.Outdated, (await _editor.RemoveAsync("PR1-A1", "M. Other", RecordSource.Page, seen.Version, Ended)).Result);
        Assert.Equal("Elsewhere", _live.Current.Find("PR1-A1")!.Place);
    }

    [Fact]
    public async Task A_vessel_taken_out_leaves_the_register_in_use()
    {
        RegisterFileState seen = await _editor.ReadAsync(Ended);
        Assert.Equal(RegisterEditResult.NoSuchVessel, (await _editor.RemoveAsync("PR9", "H. Example", RecordSource.Page, seen.Version, Ended)).Result);
        Assert.Equal(RegisterEditResult.Done, (await _editor.RemoveAsync("PR1-A1", "H. Example", RecordSource.Page, seen.Version, Ended)).Result);
        Assert.Null(_live.Current.Find("PR1-A1"));
        Assert.NotNull(_live.Current.Find("PR1-A2"));
    }

    [Fact]
    public async Task A_file_changed_by_hand_is_taken_in_and_on_record_as_that()
    {
        Assert.Equal(RegisterEditResult.Unchanged, (await _editor.TakeInFileAsync(Ended)).Result);
        string text = await File.ReadAllTextAsync(RegisterPath, Ended);
        await File.WriteAllTextAsync(RegisterPath, text.Replace("Quillhaven Metal Works", "Quillhaven Works", StringComparison.Ordinal), Ended);
        Assert.Equal(RegisterEditResult.Done, (await _editor.TakeInFileAsync(Ended)).Result);
        Assert.Equal("Quillhaven Works", _live.Current.Plant);
        Assert.Equal(
            [new RegisterAuditEntry(Noon, "", RecordSource.File, "", "plant", "\"Quillhaven Metal Works\"", "\"Quillhaven Works\"")], _store.Audit(null, 10));
    }

    [Fact]
    public async Task A_file_spoilt_by_hand_is_refused_and_nothing_can_be_put_into_it()
    {
        RegisterFileState good = await _editor.ReadAsync(Ended);
        JsonObject entry = RegisterText.EntryOf(good.Text, "PR1-A1")!;
        VesselRegister inUse = _live.Current;
        await File.WriteAllTextAsync(RegisterPath, good.Text[..^20], Ended);
        Assert.Equal(RegisterEditResult.Refused, (await _editor.TakeInFileAsync(Ended)).Result);
        RegisterFileState spoilt = await _editor.ReadAsync(Ended);
        Assert.Equal(RegisterEditResult.Refused, (await _editor.PutAsync("PR1-A1", entry, "H. Example", RecordSource.Page, spoilt.Version, Ended)).Result);
        Assert.Same(inUse, _live.Current);
        Assert.Equal(spoilt.Text, await File.ReadAllTextAsync(RegisterPath, Ended));
    }

    [Fact]
    public async Task The_text_in_use_is_kept_beside_a_spoilt_file_or_it_is_told_why_not()
    {
        await _editor.TakeInFileAsync(Ended);
        string good = await File.ReadAllTextAsync(RegisterPath, Ended);
        await File.WriteAllTextAsync(RegisterPath, good[..^20], Ended);
        _ = Directory.CreateDirectory(_editor.InUseFile + ".tmp");
        Assert.NotNull(await _editor.KeepInUseAsync(Ended));
        Directory.Delete(_editor.InUseFile + ".tmp");
        Assert.Null(await _editor.KeepInUseAsync(Ended));
        Assert.Equal(good, await File.ReadAllTextAsync(_editor.InUseFile, Ended));
        _editor.ForgetInUse();
        _editor.ForgetInUse();
        Assert.False(File.Exists(_editor.InUseFile));
    }

    /// <summary>What stands in the way of the file written beside it works for every user, root too.</summary>
    [Theory]
    [InlineData(".former.tmp")]
    [InlineData(".tmp")]
    public async Task A_file_that_cannot_be_written_is_told_with_how_to_mend_it_and_nothing_has_changed(string inTheWay)
    {
        RegisterFileState seen = await _editor.ReadAsync(Ended);
        JsonObject entry = RegisterText.EntryOf(seen.Text, "PR1-A1")!;
        entry["place"] = "Elsewhere";
        _ = Directory.CreateDirectory(RegisterPath + inTheWay);
        RegisterEdit edit = await _editor.PutAsync("PR1-A1", entry, "H. Example", RecordSource.Page, seen.Version, Ended);
        Assert.Equal(RegisterEditResult.Refused, edit.Result);
        Assert.Contains("cannot be written", Assert.Single(edit.Defects).Problem, StringComparison.Ordinal);
        Assert.Contains(_folder.Path, edit.Defects[0].Mend, StringComparison.Ordinal);
        Assert.NotEqual("Elsewhere", _live.Current.Find("PR1-A1")!.Place);
        Assert.Equal(seen, await _editor.ReadAsync(Ended));
        Directory.Delete(RegisterPath + inTheWay);
        Assert.Equal(RegisterEditResult.Done, (await _editor.PutAsync("PR1-A1", entry, "H. Example", RecordSource.Page, seen.Version, Ended)).Result);
    }

    [Fact]
    public async Task What_was_changed_by_hand_before_goes_on_record_as_that_and_not_as_the_next_change()
    {
        await _editor.TakeInFileAsync(Ended);
        string text = await File.ReadAllTextAsync(RegisterPath, Ended);
        await File.WriteAllTextAsync(RegisterPath, text.Replace("Quillhaven Metal Works", "Quillhaven Works", StringComparison.Ordinal), Ended);
        RegisterFileState seen = await _editor.ReadAsync(Ended);
        JsonObject entry = RegisterText.EntryOf(seen.Text, "PR1-A1")!;
        entry["place"] = "Elsewhere";
        await _editor.PutAsync("PR1-A1", entry, "H. Example", RecordSource.Api, seen.Version, Ended);
        Assert.Equal(
            [("H. Example", RecordSource.Api, "place"), ("", RecordSource.File, "plant")],
            _store.Audit(null, 10).Select(line => (line.Who, line.Source, line.Field)));
    }
}
