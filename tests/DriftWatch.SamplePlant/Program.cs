using System.Globalization;
using DriftWatch.SamplePlant;

if (args.Length != 1)
{
    Console.Error.WriteLine("Writes the sample streams. Usage: sample-plant FOLDER");
    return 2;
}

long total = 0;
SampleStreams.Write(args[0], (path, bytes) =>
{
    total += bytes;
    Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{bytes / 1024.0,9:0.0} kB  {path}"));
});
Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{total / 1024.0,9:0.0} kB  in all"));
return 0;
