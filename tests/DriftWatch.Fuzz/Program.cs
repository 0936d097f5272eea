using System.Diagnostics;
using System.Globalization;
using CsCheck;
using DriftWatch.Fuzz;

// dotnet run -c Release --project tests/DriftWatch.Fuzz -- 1000000 [seed]
long cases = args.Length > 0 ? long.Parse(args[0], CultureInfo.InvariantCulture) : 1_000_000;
string? seed = args.ElementAtOrDefault(1);
byte[][] payloads = Corpus.Payloads();
byte[][] loggerFiles = Corpus.LoggerFiles();

// A file costs a hundred times a payload; one case in fifty is enough of them.
long files = cases / 50;
var clock = Stopwatch.StartNew();
var decoder = new DecoderCheck();
PayloadCase.Of(payloads).Sample(decoder.Run, seed: seed, iter: cases - files, threads: Environment.ProcessorCount, print: one => $"{one.Topic} {Convert.ToHexString(one.Payload)}");
Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{cases - files} payloads in {clock.Elapsed.TotalSeconds:0} s, {decoder.WithReadings} brought readings, of {decoder.WithReasons} something was set aside: none broke a rule"));

clock.Restart();
using var logger = new LoggerCheck();
LoggerCheck.Cases(loggerFiles).Sample(logger.Run, seed: seed, iter: files, threads: 1, print: Convert.ToHexString);
Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{files} logger files in {clock.Elapsed.TotalSeconds:0} s: none broke a rule"));
