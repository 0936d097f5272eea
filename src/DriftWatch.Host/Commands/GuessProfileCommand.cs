using System.CommandLine;
using System.Globalization;
using DriftWatch.Acquisition.Files;
using DriftWatch.Gas.Quantities;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;

namespace DriftWatch.Host.Commands;

/// <summary>Guesses how a logger writes its files, and shows the guess for a person to confirm.</summary>
internal static class GuessProfileCommand
{
    private const int ReadingsShown = 8;

    public static Command Create()
    {
        Argument<FileInfo> file = new("file") { Description = "A logger file (CSV, also gzipped)." };
        Option<FileInfo?> register = new("--register") { Description = "Vessel register; default register.json beside the file." };
        Option<string?> zone = new("--zone") { Description = "Zone of the logger's clock, such as Europe/Berlin; default that of this machine." };
        Option<FileInfo?> output = new("--output") { Description = "File to write the profile to; default the standard output." };
        Command command = new(
            "guess-profile",
            "Guess how a logger writes its files. Shows what was found, what is in doubt and how the first rows would be read; look at them before using the profile.")
        {
            file, register, zone, output,
        };
        command.SetAction(parsed => Run(
            parsed.GetRequiredValue(file), parsed.GetValue(register), parsed.GetValue(zone), parsed.GetValue(output)));
        return command;
    }

    private static int Run(FileInfo file, FileInfo? registerFile, string? zoneName, FileInfo? output)
    {
        if (RegisterFile.Open(registerFile?.FullName ?? Path.Combine(file.DirectoryName!, "register.json"), Console.Error) is not { } register)
        {
            return ExitCode.BadInput;
        }

        TimeZoneInfo? zone = TimeZoneInfo.Local;
        if (zoneName is not null && !TimeZoneInfo.TryFindSystemTimeZoneById(zoneName, out zone))
        {
            Console.Error.WriteLine($"Zone '{zoneName}' is not known here; write it like Europe/Berlin.");
            return ExitCode.BadInput;
        }

        LoggerProfileGuess guess = LoggerProfileGuess.Of(file.FullName, register, zone);
        Tell("Found:", guess.Findings);
        Tell("In doubt:", guess.Doubts);
        if (guess.Profile is not { } profile)
        {
            Console.Error.WriteLine("No profile could be guessed.");
            return ExitCode.BadInput;
        }

        ShowReadings(file.FullName, register, profile);
        string json = LoggerProfileJson.Write(profile);
        if (output is null)
        {
            Console.WriteLine(json);
        }
        else
        {
            File.WriteAllText(output.FullName, json + "\n");
            Console.Error.WriteLine($"Written to {output.FullName}. It is a guess: look at it, then use it with 'import --profile' or for the watched folder.");
        }

        return ExitCode.Done;
    }

    /// <summary>To the error output, so that the standard output holds the profile and nothing else.</summary>
    private static void Tell(string heading, IReadOnlyList<string> lines)
    {
        if (lines.Count > 0)
        {
            Console.Error.WriteLine(heading);
        }

        foreach (string line in lines)
        {
            Console.Error.WriteLine($"  {line}");
        }
    }

    private static void ShowReadings(string file, VesselRegister register, LoggerProfile profile)
    {
        List<string> lines = [];
        try
        {
            var reader = new LoggerFileReader(register, profile);
            foreach (VesselReading reading in reader.Read(file, DateTimeOffset.UtcNow, row => Add($"line {row.Line}: {row.Reason}")))
            {
                Add(string.Create(
                    CultureInfo.InvariantCulture,
                    $"{reading.VesselId} {reading.Reading.Signal} {reading.Reading.Instant.UtcDateTime:yyyy-MM-dd'T'HH:mm:ss'Z'} {Value(reading)}"));
                if (lines.Count >= ReadingsShown)
                {
                    break;
                }
            }
        }
        catch (ArgumentException exception)
        {
            Add(exception.Message);
        }

        Tell("The first rows would be read as:", lines);

        void Add(string line)
        {
            if (lines.Count < ReadingsShown)
            {
                lines.Add(line);
            }
        }
    }

    private static string Value(VesselReading reading) => reading.Reading.Signal switch
    {
        Trends.Readings.Signal.GasTemperature => string.Create(CultureInfo.InvariantCulture, $"{reading.Reading.Value - GasTemperature.IcePointKelvins:0.##} degrees C"),
        Trends.Readings.Signal.Depressurised => reading.Reading.Value > 0.5 ? "released" : "not released",
        _ => string.Create(CultureInfo.InvariantCulture, $"{reading.Reading.Value / 1e5:0.###} bar"),
    };
}
