using DriftWatch.Host.Assessing;
using DriftWatch.Host.Registering;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using Microsoft.Data.Sqlite;
using Microsoft.Extensions.Time.Testing;

namespace DriftWatch.Web.Tests;

/// <summary>An empty store of a test's own and pages with a sign-in on it; time goes on when the test says so.</summary>
internal sealed class PlantOfOne : IAsyncDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("driftwatch-people-");

    private PlantOfOne()
    {
        File.Copy(Path.Combine(Repository.SampleStreams, "register.json"), RegisterPath);
        Store = new PlantStore(new StoreOptions { Path = StoreFile });
        Register = new LiveRegister(RegisterFile.Open(RegisterPath, TextWriter.Null)!, Store);
        Editor = new RegisterEditor(RegisterPath, Register, Store, Time);
    }

    public LiveRegister Register { get; }

    public RegisterEditor Editor { get; }

    /// <summary>The register file, a copy of the samples'.</summary>
    public string RegisterPath => Path.Combine(_folder.FullName, "register.json");

    public PlantStore Store { get; }

    public FakeTimeProvider Time { get; } = new(DateTimeOffset.UtcNow);

    public ServedDesk Desk { get; private set; } = null!;

    public string KeyFolder => Path.Combine(_folder.FullName, "keys");

    private string StoreFile => Path.Combine(_folder.FullName, "driftwatch.db");

    public static async Task<PlantOfOne> StartAsync(WebSettings? settings = null)
    {
        PlantOfOne plant = new();
        plant.Desk = await plant.ServeAsync(settings ?? new WebSettings { Port = 0, SignIn = "local" });
        return plant;
    }

    /// <summary>Serves the pages once more on the same store and keys.</summary>
    public Task<ServedDesk> ServeAsync(WebSettings settings) =>
        ServedDesk.StartAsync(Register, Store, new PlantClock(Time), settings, Time, KeyFolder, editor: Editor);

    /// <summary>Runs a statement on the store's file past the store.</summary>
    public int Execute(string sql)
    {
        using SqliteConnection connection = new($"Data Source={StoreFile};Pooling=False");
        connection.Open();
        using SqliteCommand command = connection.CreateCommand();
#pragma warning disable CA2100 // Text of the tests.
        command.CommandText = sql;
#pragma warning restore CA2100
        return command.ExecuteNonQuery();
    }

    /// <summary>The number that a query on the store's file gives.</summary>
    public long Count(string sql)
    {
        using SqliteConnection connection = new($"Data Source={StoreFile};Pooling=False");
        connection.Open();
        using SqliteCommand command = connection.CreateCommand();
#pragma warning disable CA2100 // Text of the tests.
        command.CommandText = sql;
#pragma warning restore CA2100
        return (long)command.ExecuteScalar()!;
    }

    public async ValueTask DisposeAsync()
    {
        await Desk.DisposeAsync();
        Editor.Dispose();
        Store.Dispose();
        _folder.Delete(recursive: true);
    }
}
