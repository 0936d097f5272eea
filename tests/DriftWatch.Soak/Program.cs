using System.Globalization;
using DriftWatch.Soak;
using DriftWatch.Storage;
using DriftWatch.TestPeers;
using MathNet.Numerics;

// The service under ten times its usual load: one line a minute, and at the end what grew and whether anything was lost.
//   dotnet run -c Release --project tests/DriftWatch.Soak -- [MINUTES] [VESSELS]
CultureInfo.CurrentCulture = CultureInfo.InvariantCulture;
int minutes = args.Length > 0 ? int.Parse(args[0], CultureInfo.InvariantCulture) : 60;
int vessels = args.Length > 1 ? int.Parse(args[1], CultureInfo.InvariantCulture) : 1000;
TimeSpan interval = TimeSpan.FromSeconds(6);

DirectoryInfo folder = Directory.CreateTempSubdirectory("driftwatch-soak-");
string file(string name) => Path.Combine(folder.FullName, name);
int webPort = FreePort.Find();
await using MosquittoBroker broker = await MosquittoBroker.StartAsync(quiet: true);
await File.WriteAllTextAsync(file("register.json"), SoakPlant.Register(vessels));
await File.WriteAllTextAsync(
    file("driftwatch.json"), $$"""{ "register": "register.json", "broker": { "host": "127.0.0.1", "port": {{broker.Port}} }, "web": { "port": {{webPort}} } }""");
using WatchedService service = new(file("driftwatch.json"), webPort);
string database = file("data/driftwatch.db");

// What is published before it has subscribed is kept for nobody.
while (service.Log.Count("Connected to the broker") == 0)
{
    if (service.HasExited)
    {
        Console.Error.WriteLine($"The service ended by itself:\n{service.Log}");
        return 3;
    }

    await Task.Delay(200);
}

SoakLoad load = new(broker.Port, vessels, interval);
using CancellationTokenSource over = new();
Task loading = load.RunAsync(over.Token);
List<double> minute = [];
List<double> memory = [];
List<double> lag = [];
long greatestBacklog = 0;
Console.WriteLine("minute,own_memory_MB,objects_in_use_MB,processor_percent,acknowledged_readings,held_readings,not_held_yet,vessels_waiting,assessment_lag_s,store_MB,windows");
TimeSpan before = service.ProcessorTime();
for (int i = 1; i <= minutes; i++)
{
    await Task.Delay(TimeSpan.FromMinutes(1));
    using PlantStore store = new(new StoreOptions { Path = database });
    long acknowledged = load.AcknowledgedReadings;
    DateTimeOffset now = DateTimeOffset.UtcNow;
    var waiting = store.Waiting();
    double late = waiting.Count == 0 ? 0 : (now - waiting.Min(inbox => inbox.Earliest)).TotalSeconds;
    long held = store.ReadingCounts().Sum(count => count.Count);
    long backlog = Math.Max(0, acknowledged - held);
    double own = service.OwnMemoryBytes() / 1e6;
    double inUse = await service.ObjectsInUseBytesAsync() / 1e6;
    TimeSpan used = service.ProcessorTime();
    int windows = Enumerable.Range(0, 20).Sum(vessel => store.Windows(SoakPlant.Id(vessel * vessels / 20)).Count);
    double size = new DirectoryInfo(file("data")).GetFiles().Sum(entry => entry.Length) / 1e6;
    Console.WriteLine($"{i},{own:F1},{inUse:F1},{(used - before).TotalSeconds / 60 * 100:F0},{acknowledged},{held},{backlog},{waiting.Count},{late:F1},{size:F1},{windows}");
    (before, greatestBacklog) = (used, Math.Max(greatestBacklog, backlog));
    minute.Add(i);
    memory.Add(own);
    lag.Add(late);
}

await over.CancelAsync();
await loading;
long published = load.AcknowledgedReadings;
long kept = 0;
for (int tries = 0; tries < 600; tries++)
{
    using PlantStore store = new(new StoreOptions { Path = database });
    kept = store.ReadingCounts().Sum(count => count.Count);
    if (kept >= published && store.Waiting().Count == 0)
    {
        break;
    }

    await Task.Delay(100);
}

int exit = await service.StopAsync();

// The first half fills caches and warms the compiler; growth shows in the second.
int half = minute.Count / 2;
if (minute.Count - half > 2)
{
    double grows = Fit.Line([.. minute.Skip(half)], [.. memory.Skip(half)]).B;
    double drifts = Fit.Line([.. minute.Skip(half)], [.. lag.Skip(half)]).B;
    Console.WriteLine($"second half: own memory {memory.Skip(half).Average():F0} MB, {grows * 60:+0.0;-0.0} MB an hour; lag {lag.Skip(half).Average():F1} s, {drifts * 60:+0.0;-0.0} s an hour");
}

Console.WriteLine($"{published} readings acknowledged, {kept} held; greatest backlog {greatestBacklog}; exit code {exit}; warnings {service.Log.Count("warn:")}, errors {service.Log.Count("fail:")}");
if (service.Log.Count("fail:") > 0 || service.Log.Count("warn:") > 0)
{
    Console.WriteLine(string.Join("\n", service.Log.ToString().Split('\n').Where(line => line.Contains("warn:", StringComparison.Ordinal) || line.Contains("fail:", StringComparison.Ordinal)).Take(20)));
}

folder.Delete(recursive: true);
return kept == published && exit == 0 ? 0 : 1;
