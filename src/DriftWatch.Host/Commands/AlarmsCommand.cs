using System.CommandLine;
using System.Globalization;
using DriftWatch.Host.Output;
using DriftWatch.Host.Settings;
using DriftWatch.Host.Web.Alarms;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Priorities;

namespace DriftWatch.Host.Commands;

/// <summary>Shows the alarms and lets people act on them; every act is recorded with who, when and why.</summary>
internal static class AlarmsCommand
{
    public static Command Create() => new("alarms", "Show alarms and act on them.")
    {
        List(),
        Journal(),
        Figures(),
        Act("acknowledge", "Acknowledge: say that you have seen it.", AlarmEvent.Acknowledge, needsWhy: false, needsUntil: false),
        Act("reset", "Reset a latched alarm whose condition is gone.", AlarmEvent.Reset, needsWhy: false, needsUntil: false),
        Act("shelve", "Put aside until a time, with a reason.", AlarmEvent.Shelve, needsWhy: true, needsUntil: true),
        Act("unshelve", "Take back from the shelf.", AlarmEvent.Unshelve, needsWhy: false, needsUntil: false),
        Act("suppress", "Suppress by design: the plant's state leaves it without meaning.", AlarmEvent.Suppress, needsWhy: true, needsUntil: false),
        Act("unsuppress", "End the suppression.", AlarmEvent.Unsuppress, needsWhy: false, needsUntil: false),
        Act("take-out", "Take out of service for maintenance.", AlarmEvent.RemoveFromService, needsWhy: true, needsUntil: false),
        Act("return", "Return to service.", AlarmEvent.ReturnToService, needsWhy: false, needsUntil: false),
    };

    private static Command List()
    {
        Option<FileInfo> file = SettingsOption.Create();
        Option<bool> all = new("--all") { Description = "Also those that are normal again or set aside." };
        Command command = new("list", "Show the alarms that want attention, what one cause has brought as one.") { file, all };
        command.SetAction(parsed => ExistingStore.With(parsed.GetRequiredValue(file), (settings, store) =>
        {
            AlarmBook book = store.Alarms(Now());
            foreach (AlarmGroup group in AlarmFlood.Groups(book.Alarms, settings.Alarms.Flood))
            {
                if (group.IsFlood)
                {
                    Console.WriteLine($"{group.Priority,-6}  {group.Kind} on {group.Alarms.Count} vessels, {Text(group.First)} to {Text(group.Last)}. {group.LikelyCause}");
                }

                foreach (Alarm alarm in group.Alarms)
                {
                    Console.WriteLine($"{(group.IsFlood ? "  " : "")}{Line(alarm)}");
                }
            }

            if (parsed.GetValue(all))
            {
                foreach (Alarm alarm in book.Alarms.Where(alarm => alarm.Status.IsSetAside || alarm.Status.State == AlarmState.Normal))
                {
                    Console.WriteLine(Line(alarm));
                }
            }

            CautionLines.Write(Console.Out);
            return ExitCode.Done;
        }));
        return command;
    }

    private static Command Journal()
    {
        Option<FileInfo> file = SettingsOption.Create();
        Option<string> vessel = new("--vessel") { Description = "Only this vessel." };
        Command command = new("journal", "Show every transition with who, when and why.") { file, vessel };
        command.SetAction(parsed => ExistingStore.With(parsed.GetRequiredValue(file), (_, store) =>
        {
            string? only = parsed.GetValue(vessel);
            foreach (AlarmTransition line in store.Alarms(Now()).Journal.Where(line => only is null || line.VesselId == only))
            {
                Console.WriteLine($"{Text(line.At)}  {line.VesselId}  {line.Kind}  {line.What}: {line.From} -> {line.To}  by {line.By}  {line.Why}".TrimEnd());
            }

            return ExitCode.Done;
        }));
        return command;
    }

    private static Command Figures()
    {
        Option<FileInfo> file = SettingsOption.Create();
        Option<int> days = new("--days") { Description = "Days to look back.", DefaultValueFactory = _ => 30 };
        days.Validators.Add(result =>
        {
            if (!(result.GetValueOrDefault<int>() is >= 1 and <= 3650))
            {
                result.AddError("--days is from 1 to 3650.");
            }
        });
        Command command = new("figures", "Show how well the alarms serve: announcements a day, floods, standing, chattering.") { file, days };
        command.SetAction(parsed => ExistingStore.With(parsed.GetRequiredValue(file), (_, store) =>
        {
            AlarmBook book = store.Alarms(Now());
            AlarmPerformance figures = AlarmPerformance.Of(book, book.AsOf.AddDays(-parsed.GetValue(days)));
            Console.WriteLine(FormattableString.Invariant($"Announced              {figures.Announced} ({figures.PerDay:0.00} a day)"));
            Console.WriteLine(FormattableString.Invariant($"Most in ten minutes    {figures.MostInTenMinutes}"));
            Console.WriteLine(FormattableString.Invariant($"Time in flood          {100 * figures.TenMinuteFloodShare:0.0} % of the ten-minute periods"));
            Console.WriteLine(FormattableString.Invariant($"Standing               {figures.Standing}, more than a day {figures.Stale}"));
            Console.WriteLine(FormattableString.Invariant($"Chattering             {figures.Chattering.Count}{string.Concat(figures.Chattering.Select(alarm => $" {alarm.VesselId}/{alarm.Kind}"))}"));
            Console.WriteLine(FormattableString.Invariant($"Shelved                {figures.Shelved}"));
            Console.WriteLine(FormattableString.Invariant($"Suppressed, out        {figures.Suppressed}"));
            Console.WriteLine(FormattableString.Invariant($"High, medium, low      {figures.ByPriority[Priority.High]}, {figures.ByPriority[Priority.Medium]}, {figures.ByPriority[Priority.Low]}"));
            Console.WriteLine(FormattableString.Invariant($"Ten most frequent      {100 * figures.MostFrequent:0} % of the announcements"));
            return ExitCode.Done;
        }));
        return command;
    }

    private static Command Act(string name, string description, AlarmEvent what, bool needsWhy, bool needsUntil)
    {
        Option<FileInfo> file = SettingsOption.Create();
        Argument<string> vessel = new("vessel") { Description = "The vessel's id." };
        Option<AlarmKind?> kind = new("--kind") { Description = "Which alarm; all of the vessel that it has a place for, where left out." };
        Option<string> by = new("--by") { Description = "Who acts.", Required = true };
        Option<string> why = new("--why") { Description = "Why.", Required = needsWhy };
        Option<DateTimeOffset?> until = new("--until") { Description = "When the shelf ends, like 2026-10-01T06:00:00Z.", Required = needsUntil, CustomParser = InstantText.Read };
        Command command = new(name, description) { file, vessel, kind, by, why };
        if (needsUntil)
        {
            command.Add(until);
        }

        command.SetAction(parsed => ExistingStore.With(parsed.GetRequiredValue(file), (settings, store) =>
        {
            DateTimeOffset now = Now();
            string id = parsed.GetRequiredValue(vessel);
            AlarmBook book = store.Alarms(now);
            if (!book.Alarms.Any(alarm => alarm.VesselId == id) && RegisterFile.Open(settings.Register, Console.Error)?.Find(id) is null)
            {
                // A slip of the pen must not look as if the vessel that is meant were set aside.
                Console.Error.WriteLine($"'{id}' is no vessel of the register {settings.Register}: give the id as it stands there.");
                return ExitCode.BadInput;
            }

            List<string> objections = [];
            int done = 0;
            if (needsUntil && settings.Alarms.WhyNotShelved(parsed.GetValue(until) - now) is { } tooLong)
            {
                Console.Error.WriteLine(tooLong);
                return ExitCode.BadInput;
            }

            foreach (AlarmKind each in parsed.GetValue(kind) is { } one ? [one] : Enum.GetValues<AlarmKind>())
            {
                DateTimeOffset raised = book.Of(id, each).Raised;
                var action = new AlarmAction(
                    id, each, now, what, parsed.GetRequiredValue(by), parsed.GetValue(why) ?? "",
                    what is AlarmEvent.Acknowledge or AlarmEvent.Reset ? raised : null,
                    needsUntil ? parsed.GetValue(until) : null);
                if (store.Record(action) is { } objection)
                {
                    objections.Add(objection);
                    continue;
                }

                store.Record(CommandAudit.Entry(AlarmWords.Done(what), id, after: string.Join(": ", new[] { each.ToString(), action.By, action.Why }.Where(text => text.Length > 0))));
                done++;
                Console.WriteLine(Line(store.Alarms(now).Of(id, each)));
            }

            if (done > 0)
            {
                return ExitCode.Done;
            }

            foreach (string objection in objections.Distinct())
            {
                Console.Error.WriteLine(objection);
            }

            return ExitCode.BadInput;
        }));
        return command;
    }

    private static DateTimeOffset Now() => TimeProvider.System.GetUtcNow();

    private static string Line(Alarm alarm)
    {
        string aside = alarm.Status.IsSetAside
            ? $" ({(alarm.ShelvedUntil is { } end ? $"until {Text(end)}, " : "")}{(alarm.SetAsideBy.Length > 0 ? $"by {alarm.SetAsideBy}: {alarm.SetAsideWhy}" : "a graver alarm stands")})"
            : "";
        string raised = alarm.Raised > DateTimeOffset.MinValue ? Text(alarm.Raised) : "never";
        return $"{alarm.Priority,-6}  {alarm.VesselId}  {alarm.Kind}  {alarm.Status.State}{aside}  {raised}  {alarm.Why}".TrimEnd();
    }

    private static string Text(DateTimeOffset instant) => instant.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture);
}
