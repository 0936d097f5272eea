using System.Net.Http.Headers;
using DriftWatch.Delivery.Answers;
using DriftWatch.Gas.Units;
using DriftWatch.Host.Assessing;
using DriftWatch.Host.Health;
using DriftWatch.Host.Registering;
using DriftWatch.Host.Settings;
using DriftWatch.Host.Web;
using DriftWatch.Host.Web.People;
using DriftWatch.Plant.People;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using Microsoft.Extensions.Logging.Abstractions;

namespace DriftWatch.Web.Tests;

/// <summary>The pages on a port of their own.</summary>
internal sealed class ServedDesk : IAsyncDisposable
{
    /// <summary>Password of the people of the tests.</summary>
    public const string Password = "four words in a row";

    private readonly DeskWorker _worker;
    private readonly PlantStore _store;

    private ServedDesk(DeskWorker worker, PlantStore store)
    {
        _worker = worker;
        _store = store;
    }

    public string Address => _worker.Address;

    public HttpClient Client { get; private set; } = null!;

    /// <summary>Starts the pages.</summary>
    /// <param name="register">The vessels.</param>
    /// <param name="store">The store.</param>
    /// <param name="clock">Time of day at the plant.</param>
    /// <param name="settings">Settings; where left out, without a sign-in.</param>
    /// <param name="time">The true time of day; the system's where left out.</param>
    /// <param name="keyFolder">Folder of the keys; none where left out.</param>
    /// <param name="history">Where raw readings are read back from; the store where left out.</param>
    /// <param name="answers">Takes answers to jobs; none are taken where left out.</param>
    /// <param name="health">How the parts of the service are; of none where left out.</param>
    /// <param name="editor">What changes the register; none where left out.</param>
    public static async Task<ServedDesk> StartAsync(
        LiveRegister register, PlantStore store, PlantClock clock, WebSettings? settings = null, TimeProvider? time = null, string? keyFolder = null,
        IReadingHistory? history = null, ServiceHealth? health = null, RegisterEditor? editor = null, AnswerDesk? answers = null)
    {
        var served = new ServedDesk(
            new DeskWorker(
                new Desk(register, store, clock, PressureUnit.Bar)
                {
                    Time = time ?? TimeProvider.System,
                    KeyFolder = keyFolder,
                    History = history ?? store,
                    Editor = editor,
                    Answers = answers,
                    Health = health ?? new ServiceHealth(TimeProvider.System, NullLogger<ServiceHealth>.Instance),
                },
                settings ?? new WebSettings { Port = 0 },
                NullLoggerFactory.Instance),
            store);
        await served._worker.StartAsync(CancellationToken.None);
        served.Client = new HttpClient(new HttpClientHandler { AllowAutoRedirect = false, UseCookies = false }) { BaseAddress = new Uri(served.Address) };
        return served;
    }

    /// <summary>Makes an account whose password is <see cref="Password"/>.</summary>
    public Account Add(string name, Role role, bool mustChange = false)
    {
        Account account = new()
        {
            Person = new Person(Guid.NewGuid().ToString("n"), name, role),
            PasswordHash = Hash.Value,
            MustChange = mustChange,
            Made = DateTimeOffset.UnixEpoch,
        };
        Assert.Equal(WriteOutcome.Done, _store.Add(account, new AuditEntry(DateTimeOffset.UnixEpoch, "", "test", "test", "person added", name)));
        return account;
    }

    /// <summary>Someone of this role who has signed in through the form, as a browser would without scripts.</summary>
    public async Task<Visitor> VisitAsync(Role role)
    {
        string name = "the " + role.ToString().ToLowerInvariant();
        lock (Adding)
        {
            if (_store.AccountNamed(name) is null)
            {
                _ = Add(name, role);
            }
        }

        Visitor visitor = new(Address);
        await visitor.SignInAsync(name, Password);
        return visitor;
    }

    /// <summary>A program with a token of someone of this role.</summary>
    /// <param name="role">Role of the owner and of the token.</param>
    /// <param name="owner">Name of the owner.</param>
    public HttpClient Program(Role role, string owner)
    {
        Account account = _store.AccountNamed(owner) ?? Add(owner, role);
        (_, AccessToken? token, string secret) = AccessTokens.Make(account.Person, "test", role, 30, TimeProvider.System.GetUtcNow());
        _store.Add(token!, AccessTokens.KeyOf(secret), new AuditEntry(DateTimeOffset.UnixEpoch, "", "test", "test", "token made", owner));
        HttpClient client = new(new HttpClientHandler { AllowAutoRedirect = false, UseCookies = false }) { BaseAddress = new Uri(Address) };
        client.DefaultRequestHeaders.Authorization = new AuthenticationHeaderValue("Bearer", secret);
        return client;
    }

    public async ValueTask DisposeAsync()
    {
        Client.Dispose();
        await _worker.StopAsync(CancellationToken.None);
        await _worker.DisposeAsync();
    }

    /// <summary>Tests that run at the same time share a store: only one of them adds whoever is not there yet.</summary>
    private static Lock Adding { get; } = new();

    private static Lazy<string> Hash { get; } = new(() => new Passwords().Hash(Password));
}
