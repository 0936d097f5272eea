using System.CommandLine;
using DriftWatch.Storage;

namespace DriftWatch.Host.Commands;

/// <summary>Copies of the store, and a look through it.</summary>
internal static class StoreCommand
{
    public static Command Create() => new("store", "Copy the embedded store, put a copy back, look whether all of it can be read.")
    {
        Backup(),
        Restore(),
        Verify(),
    };

    private static Command Backup()
    {
        Argument<FileInfo> file = new("file") { Description = "The copy to make; must not be there yet." };
        Option<FileInfo> settings = SettingsOption.Create();
        Command command = new("backup", "Copy the store as it stands at one moment, while the service goes on, and look through the copy.") { file, settings };
        command.SetAction(parsed =>
        {
            if (SettingsOption.Read(parsed.GetRequiredValue(settings), Console.Error) is not { } read)
            {
                return ExitCode.BadInput;
            }

            if (!ExistingStore.Has(read, Console.Error))
            {
                return ExitCode.BadInput;
            }

            string copy = parsed.GetRequiredValue(file).FullName;
            StoreCopy.Make(ServiceComposition.StorePath(read), copy);
            return Tell(copy, StoreVerification.Of(copy));
        });
        return command;
    }

    private static Command Restore()
    {
        Argument<FileInfo> file = new("file") { Description = "A copy made by 'store backup'." };
        Option<FileInfo> settings = SettingsOption.Create();
        Command command = new("restore", "Look through a copy, of this version or an older one, and put it in the place of the store, whose file stays beside it. Stop the service first.") { file, settings };
        command.SetAction(parsed =>
        {
            if (SettingsOption.Read(parsed.GetRequiredValue(settings), Console.Error) is not { } read)
            {
                return ExitCode.BadInput;
            }

            string copy = parsed.GetRequiredValue(file).FullName;
            string store = ServiceComposition.StorePath(read);
            RestoredCopy restored = StoreCopy.PutBack(copy, store, CommandAudit.Entry("store put back from a copy", "", after: copy));
            if (restored.FormerSchema != restored.Report.Schema)
            {
                Console.WriteLine(FormattableString.Invariant($"{copy} is of schema {restored.FormerSchema}: looked through as brought to the schema of this version; the file itself stays as it is."));
            }

            if (Tell(copy, restored.Report) != ExitCode.Done)
            {
                Console.Error.WriteLine("The copy is not put back.");
                return ExitCode.Failed;
            }

            Console.WriteLine($"{store} is now the copy{(restored.Before is null ? "" : $"; what was there stands in {restored.Before}")}.");
            return ExitCode.Done;
        });
        return command;
    }

    private static Command Verify()
    {
        Argument<FileInfo?> file = new("file") { Description = "A copy; the store of the service when left out.", Arity = ArgumentArity.ZeroOrOne };
        Option<FileInfo> settings = SettingsOption.Create();
        Command command = new("verify", "Look through the store or a copy: pages and indices, every packed day, every document, all counts.") { file, settings };
        command.SetAction(parsed =>
        {
            if (parsed.GetValue(file) is { } copy)
            {
                return Tell(copy.FullName, StoreVerification.Of(copy.FullName));
            }

            if (SettingsOption.Read(parsed.GetRequiredValue(settings), Console.Error) is not { } read || !ExistingStore.Has(read, Console.Error))
            {
                return ExitCode.BadInput;
            }

            string store = ServiceComposition.StorePath(read);
            return Tell(store, StoreVerification.Of(store));
        });
        return command;
    }

    private static int Tell(string path, StoreReport report)
    {
        Console.WriteLine(report.RecordsRead
            ? FormattableString.Invariant(
                $"{path}: schema {report.Schema}, {report.Vessels} vessels, {report.Readings} readings ({report.Blocks} packed days), {report.Windows} windows, {report.Jobs} jobs")
            : FormattableString.Invariant($"{path}: schema {report.Schema} of an older version, {report.Vessels} vessels, {report.Windows} windows, {report.Jobs} jobs"));
        foreach (string fault in report.Faults)
        {
            Console.Error.WriteLine("  " + fault);
        }

        Console.WriteLine(report.Faults.Count > 0 ? FormattableString.Invariant($"{report.Faults.Count} faults: restore a copy that has none.")
            : report.RecordsRead ? "All of it can be read."
            : "Its pages, indices and references are whole. Its records are read where it is brought to the schema of this version: by 'store restore', or by the service when it opens its store.");
        return report.Faults.Count == 0 ? ExitCode.Done : ExitCode.Failed;
    }
}
