using System.CommandLine;
using DriftWatch.Charts.Sheets;
using DriftWatch.Gas.Units;
using DriftWatch.Host.Settings;
using DriftWatch.Host.Sheets;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;

namespace DriftWatch.Host.Commands;

/// <summary>Writes sheets for people: a job, the record of a vessel, the report of the fleet.</summary>
internal static class SheetCommand
{
    public static Command Create() => new("sheet", "Write a sheet to print: PDF, or HTML where the file's name ends in .html.")
    {
        Job(),
        Vessel(),
        Fleet(),
    };

    private static Command Job()
    {
        Argument<string> key = new("key") { Description = "The job's key, as 'queue' and the pages show it." };
        Command command = new("job", "The sheet of a job, to be taken to the vessel.") { key };
        return Finished(command, parsed => "job-" + parsed.GetRequiredValue(key).Replace('/', '-'), (parsed, maker) =>
            maker.Job(parsed.GetRequiredValue(key)), parsed => $"There is no job '{parsed.GetRequiredValue(key)}' on record: give the key as the pages or the job's notice show it.");
    }

    private static Command Vessel()
    {
        Argument<string> id = new("id") { Description = "The vessel's id." };
        Command command = new("vessel", "The record of a vessel.") { id };
        return Finished(command, parsed => "vessel-" + parsed.GetRequiredValue(id), (parsed, maker) =>
            maker.Vessel(parsed.GetRequiredValue(id)), parsed => $"The register has no vessel '{parsed.GetRequiredValue(id)}'.");
    }

    private static Command Fleet()
    {
        Option<string> month = new("--month") { Description = "The month reported on, like 2026-10; the month of the newest data where left out." };
        month.Validators.Add(result =>
        {
            if (!MonthText.TryRead(result.GetValueOrDefault<string>() ?? "", out _))
            {
                result.AddError(MonthText.Remedy);
            }
        });
        Option<string> place = new("--place") { Description = "The vessels of this place only, as the register names it; all where left out." };
        Command command = new("fleet", "The monthly report of the fleet.") { month, place };
        return Finished(
            command, parsed => "fleet",
            (parsed, maker) => maker.Fleet(
                parsed.GetValue(month) is { } text && MonthText.TryRead(text, out (int Year, int Month) read) ? read : null, parsed.GetValue(place) ?? ""),
            parsed => $"The register has no vessel in a place '{parsed.GetValue(place)}'.");
    }

    private static Command Finished(
        Command command, Func<ParseResult, string> name, Func<ParseResult, SheetMaker, Sheet?> make, Func<ParseResult, string> missing)
    {
        Option<FileInfo> settings = SettingsOption.Create();
        Option<FileInfo> output = new("--output") { Description = "File to write; default a PDF named after the sheet in the working folder." };
        Option<string> unit = UnitOption.Create();
        command.Options.Add(settings);
        command.Options.Add(output);
        command.Options.Add(unit);
        command.SetAction(parsed =>
        {
            PressureUnit shown = UnitOption.Value(parsed, unit);
            string file = parsed.GetValue(output)?.FullName ?? Path.GetFullPath(name(parsed) + ".pdf");
            return Write(parsed.GetRequiredValue(settings), file, maker => make(parsed, maker with { Unit = shown }), () => missing(parsed));
        });
        return command;
    }

    private static int Write(FileInfo settingsFile, string file, Func<SheetMaker, Sheet?> make, Func<string> missing)
    {
        if (SettingsOption.Read(settingsFile, Console.Error) is not { } settings
            || RegisterFile.Open(settings.Register, Console.Error) is not { } register)
        {
            return ExitCode.BadInput;
        }

        using PlantStore? store = ExistingStore.Open(settings, Console.Error);
        if (store is null)
        {
            return ExitCode.BadInput;
        }

        if (make(new SheetMaker(new LiveRegister(register, store, store).Current, store, TimeProvider.System.GetUtcNow(), PressureUnit.Bar)) is not { } sheet)
        {
            Console.Error.WriteLine(missing());
            return ExitCode.BadInput;
        }

        bool page = Path.GetExtension(file).ToUpperInvariant() is ".HTML" or ".HTM";
        File.WriteAllBytes(file, page ? System.Text.Encoding.UTF8.GetBytes(sheet.ToHtml()) : sheet.ToPdf());
        Console.WriteLine(file);
        return ExitCode.Done;
    }
}
