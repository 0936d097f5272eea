using System.CommandLine;
using System.Globalization;
using DriftWatch.Host.Settings;
using DriftWatch.Host.Web.Rounds;
using DriftWatch.Plant.Records;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;

namespace DriftWatch.Host.Commands;

/// <summary>Shows the work on record and adds to it; a running service takes it in within seconds.</summary>
internal static class RecordsCommand
{
    public static Command Create() => new("records", "Show charges, checks and changes of transducers on record, add them, or void a wrong one.")
    {
        List(),
        Add("charge", "Record a charge or bleed, with the values the vessel was left with.", WorkKind.Charge),
        Add("check", "Record a check of the precharge by hand.", WorkKind.Check),
        Add("transducer", "Record that a gas-side transducer was replaced, moved or calibrated anew: windows before and after are not compared.", WorkKind.TransducerChange),
        Void(),
    };

    private static Command List()
    {
        Option<FileInfo> settings = SettingsOption.Create();
        Option<string> vessel = new("--vessel") { Description = "Only this vessel." };
        Command command = new("list", "Show the records, void ones too.") { settings, vessel };
        command.SetAction(parsed => WithRegister(parsed.GetRequiredValue(settings), (_, store) =>
        {
            foreach (WorkEntry entry in parsed.GetValue(vessel) is { } only ? store.WorkOf(only) : store.Work())
            {
                Console.WriteLine(Line(entry));
            }

            return ExitCode.Done;
        }));
        return command;
    }

    private static Command Add(string name, string description, WorkKind kind)
    {
        Argument<string> vessel = new("vessel") { Description = "The vessel." };
        Option<FileInfo> settings = SettingsOption.Create();
        Option<string> by = new("--by") { Description = "Who did the work.", Required = true };
        Option<DateTimeOffset> at = new("--at")
        {
            Description = "When it was done, with offset, such as 2026-10-01T06:00:00Z; default now.",
            DefaultValueFactory = _ => TimeProvider.System.GetUtcNow(),
            CustomParser = result => InstantText.Read(result) ?? default,
        };
        Option<double?> bar = Number("--bar-gauge", "Gas pressure found or left, bar gauge.");
        Option<double?> celsius = Number("--celsius", "Gas temperature at that pressure, degrees C.");
        Option<double?> nitrogen = Number("--nitrogen-kg", "Nitrogen that the charge took, kg.");
        Option<string> gauge = new("--gauge") { Description = "The gauge it was read with.", DefaultValueFactory = _ => "" };
        Option<bool> released = new("--isolated-and-released") { Description = "Confirms that the fluid side was isolated and fully released: without it no values and no check are taken." };
        Option<string> note = new("--note") { Description = "In words.", DefaultValueFactory = _ => "" };
        Option<Guid> id = new("--id") { Description = "UUID of the record: given again, it is the same record.", DefaultValueFactory = _ => Guid.CreateVersion7() };
        Command command = new(name, description) { vessel, settings, by, at, note, id };
        IEnumerable<Option> values = kind switch
        {
            WorkKind.Charge => [bar, celsius, gauge, released, nitrogen],
            WorkKind.Check => [bar, celsius, gauge, released],
            _ => [],
        };
        foreach (Option value in values)
        {
            command.Add(value);
        }

        bool read = kind != WorkKind.TransducerChange;

        command.SetAction(parsed => WithRegister(parsed.GetRequiredValue(settings), (register, store) => Told(store, RoundTexts.Recorded(kind), parsed.GetRequiredValue(vessel), parsed.GetValue(id).ToString(), () => register.Record(new WorkRecord
        {
            Id = parsed.GetValue(id),
            VesselId = parsed.GetRequiredValue(vessel),
            Kind = kind,
            At = parsed.GetValue(at).ToUniversalTime(),
            Who = parsed.GetRequiredValue(by),
            GasPressureBarGauge = read ? parsed.GetValue(bar) : null,
            GasTemperatureCelsius = read ? parsed.GetValue(celsius) : null,
            NitrogenKg = kind == WorkKind.Charge ? parsed.GetValue(nitrogen) : null,
            GaugeId = read ? parsed.GetRequiredValue(gauge) : "",
            IsolatedAndReleased = read && parsed.GetValue(released),
            Note = parsed.GetRequiredValue(note),
            Source = RecordSource.Command,
            EnteredBy = Environment.UserName,
            Received = TimeProvider.System.GetUtcNow(),
        }))));
        return command;
    }

    private static Command Void()
    {
        Argument<Guid> record = new("record") { Description = "Id of the record that is wrong." };
        Option<FileInfo> settings = SettingsOption.Create();
        Option<string> by = new("--by") { Description = "Who voids it.", Required = true };
        Option<string> why = new("--why") { Description = "What is wrong with it.", Required = true };
        Command command = new("void", "Make a wrong record void: it stands, and counts no more.") { record, settings, by, why };
        command.SetAction(parsed => WithRegister(parsed.GetRequiredValue(settings), (register, store) => Told(store, "record voided", "", $"{parsed.GetValue(record)}: {parsed.GetRequiredValue(why)}", () => register.Void(new WorkVoid(
            Guid.CreateVersion7(), parsed.GetValue(record), parsed.GetRequiredValue(by), parsed.GetRequiredValue(why),
            RecordSource.Command, TimeProvider.System.GetUtcNow())))));
        return command;
    }

    private static int Told(PlantStore store, string what, string about, string after, Func<WorkOutcome> write)
    {
        WorkOutcome outcome;
        try
        {
            outcome = write();
        }
        catch (ArgumentException fault)
        {
            // The name of a parameter of ours says nothing to whoever typed the command.
            Console.Error.WriteLine(fault.Message.Replace($" (Parameter '{fault.ParamName}')", "", StringComparison.Ordinal));
            return ExitCode.BadInput;
        }

        if (outcome == WorkOutcome.Recorded)
        {
            store.Record(CommandAudit.Entry(what, about, after: after));
        }

        Console.WriteLine(outcome switch
        {
            WorkOutcome.Recorded => "Recorded.",
            WorkOutcome.Repeated => "It is on record already.",
            WorkOutcome.IdUsed => "Something else has this id: give each record an id of its own.",
            WorkOutcome.NoSuchRecord => "There is no record of this id.",
            _ => "The record is void already.",
        });
        return outcome is WorkOutcome.Recorded or WorkOutcome.Repeated ? ExitCode.Done : ExitCode.BadInput;
    }

    private static int WithRegister(FileInfo settingsFile, Func<LiveRegister, PlantStore, int> act)
    {
        if (SettingsOption.Read(settingsFile, Console.Error) is not { } settings
            || RegisterFile.Open(settings.Register, Console.Error) is not { } register)
        {
            return ExitCode.BadInput;
        }

        using PlantStore? store = ExistingStore.Open(settings, Console.Error);
        return store is null ? ExitCode.BadInput : act(new LiveRegister(register, store, store), store);
    }

    /// <summary>A number is read alike on every machine: a comma is neither dropped (8,5 is not 85) nor, by the machine's language, expected.</summary>
    private static Option<double?> Number(string name, string description) => new(name)
    {
        Description = description,
        CustomParser = result =>
        {
            string text = result.Tokens.Count == 1 ? result.Tokens[0].Value : "";
            if (double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out double number) && double.IsFinite(number))
            {
                return number;
            }

            result.AddError($"{name}: '{text}' is no number here. Give it with a decimal point, such as 88.5.");
            return null;
        },
    };

    private static string Line(WorkEntry entry)
    {
        WorkRecord record = entry.Record;
        string values = record is { GasPressureBarGauge: { } bar, GasTemperatureCelsius: { } celsius }
            ? string.Create(CultureInfo.InvariantCulture, $", {bar:0.0##} bar gauge at {celsius:0.0##} degrees C")
            : "";
        string voided = entry.Voided is { } voiding ? $"  VOID by {voiding.Who}: {voiding.Why}" : "";
        return $"{record.At.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture)}  {record.VesselId}  {record.Kind} by {record.Who}{values}  {record.Note}".TrimEnd()
            + $"  [{record.Id}, {record.Source} {record.EnteredBy}]{voided}";
    }
}
