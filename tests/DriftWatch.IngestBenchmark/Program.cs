using System.Globalization;
using DriftWatch.IngestBenchmark;

CultureInfo.CurrentCulture = CultureInfo.InvariantCulture;
string part = args.Length > 0 ? args[0] : "all";
switch (part)
{
    case "store":
        StoreRates.Run();
        break;
    case "packing":
        PackedSize.Run();
        break;
    case "mqtt":
        await DurableIngest.RunAsync();
        break;
    case "import":
        ImportRate.Run();
        break;
    case "memory" when args.Length == 2:
        Memory.Run(int.Parse(args[1], CultureInfo.InvariantCulture));
        break;
    case "all":
        StoreRates.Run();
        PackedSize.Run();
        await DurableIngest.RunAsync();
        ImportRate.Run();
        foreach (string vessels in (string[])["1000", "10000", "100000"])
        {
            // Each in a process of its own: memory once taken is not given back.
            Memory.RunApart(vessels);
        }

        break;
    default:
        Console.Error.WriteLine("Parts: store, packing, mqtt, import, memory <vessels>; none for all.");
        return 2;
}

return 0;
