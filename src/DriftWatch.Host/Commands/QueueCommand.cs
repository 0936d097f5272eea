using System.CommandLine;
using DriftWatch.Delivery.Dispatch;
using DriftWatch.Delivery.Documents;
using DriftWatch.Host.Delivering;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Notices;
using DriftWatch.Storage;

namespace DriftWatch.Host.Commands;

/// <summary>Works with the maintenance queues: proves a channel, shows what waits, sends dead letters again, shows answers.</summary>
internal static class QueueCommand
{
    private const int MostAnswers = 1000;

    /// <summary>Beyond the time that the channel gives the far side for an answer, as for what is delivered.</summary>
    private static readonly TimeSpan TestTimeout = new DispatchOptions().DeliveryTimeout;

    public static Command Create() => new("queue", "Work with the maintenance queues.")
    {
        TestSend(),
        Status(),
        DeadLetters(),
        Resend(),
        Answers(),
    };

    private static Command TestSend()
    {
        Option<FileInfo> settings = SettingsOption.Create();
        Argument<string> channel = new("channel") { Description = "Name of the channel." };
        Command command = new("test-send", "Send a test through a channel, past the outbox, and say whether the far side has taken it.") { channel, settings };
        command.SetAction((parsed, stop) => SendTestAsync(parsed.GetRequiredValue(settings), parsed.GetRequiredValue(channel), stop));
        return command;
    }

    private static async Task<int> SendTestAsync(FileInfo file, string name, CancellationToken stop)
    {
        if (SettingsOption.Read(file, Console.Error, toRun: true) is not { } settings)
        {
            return ExitCode.BadInput;
        }

        await using QueueChannels channels = new(settings.Queue, settings.Alarms.Flood, settings.ChartFolder, TimeProvider.System);
        if (channels.All.FirstOrDefault(one => one.Name == name) is not { } channel)
        {
            await Console.Error.WriteLineAsync($"There is no channel '{name}'. The settings hold: {string.Join(", ", channels.All.Select(one => one.Name))}.");
            return ExitCode.BadInput;
        }

        JobNotice notice = TestNotice.At(TimeProvider.System.GetUtcNow());
        using CancellationTokenSource timeout = CancellationTokenSource.CreateLinkedTokenSource(stop);
        TimeSpan longest = TestTimeout + channel.AnswerTimeout;
        timeout.CancelAfter(longest);
        try
        {
            await channel.DeliverAsync(notice, timeout.Token);
        }
        catch (Exception failure) when (!stop.IsCancellationRequested)
        {
            string reason = timeout.IsCancellationRequested ? $"not taken within {longest.TotalSeconds:0} s" : failure.Message;
            await Console.Error.WriteLineAsync($"Channel '{name}' did not take the test: {reason}");
            return ExitCode.Failed;
        }

        Console.WriteLine($"Channel '{name}' has taken the test {notice.Key}. See that it has arrived in the queue behind it.");
        if (channel.RefusedRecipients is { } refused)
        {
            await Console.Error.WriteLineAsync($"It was refused for: {refused}");
        }

        return ExitCode.Done;
    }

    private static Command Status() => OnStore("status", "Show how many notices wait and how many are set aside, by channel.", (settings, store) =>
    {
        Dictionary<string, long> waiting = store.WaitingNotices().ToDictionary(one => one.Channel, one => one.Count, StringComparer.Ordinal);
        Dictionary<string, int> dead = store.DeadLetters().GroupBy(letter => letter.Channel).ToDictionary(one => one.Key, one => one.Count(), StringComparer.Ordinal);
        string[] names = [.. settings.Queue.Names()];
        foreach (string name in names.Concat(waiting.Keys.Concat(dead.Keys).Except(names).Order(StringComparer.Ordinal)))
        {
            string left = names.Contains(name) ? "" : " (no longer in the settings)";
            Console.WriteLine(FormattableString.Invariant($"{name}: {waiting.GetValueOrDefault(name)} waiting, {dead.GetValueOrDefault(name)} set aside{left}"));
        }

        return ExitCode.Done;
    });

    private static Command DeadLetters() => OnStore("dead-letters", "Show the notices that channels would not take, with the reasons.", (_, store) =>
    {
        foreach (DeadLetter letter in store.DeadLetters())
        {
            Console.WriteLine(FormattableString.Invariant(
                $"{letter.Channel} {letter.Sequence}: {letter.Notice.Key}, set aside {letter.SetAside.UtcDateTime:yyyy-MM-dd'T'HH:mm:ss'Z'} after {letter.Tries} tries"));
            Console.WriteLine("    " + letter.Error.ReplaceLineEndings(" "));
        }

        return ExitCode.Done;
    });

    private static Command Resend()
    {
        Option<FileInfo> settings = SettingsOption.Create();
        Argument<string> channel = new("channel") { Description = "Name of the channel." };
        Argument<long?> sequence = new("number") { Description = "Number of the dead letter; all of the channel where left out.", Arity = ArgumentArity.ZeroOrOne };
        Command command = new("resend", "Put dead letters back into the outbox, each followed by the later notices of its vessel. A running service sends them within half a minute.") { channel, sequence, settings };
        command.SetAction(parsed => ExistingStore.With(parsed.GetRequiredValue(settings), (_, store) =>
        {
            string name = parsed.GetRequiredValue(channel);
            DeadLetter[] letters = [.. store.DeadLetters().Where(letter => letter.Channel == name && (parsed.GetValue(sequence) ?? letter.Sequence) == letter.Sequence)];
            if (letters.Length == 0)
            {
                Console.Error.WriteLine($"Channel '{name}' has no such dead letter; the command 'queue dead-letters' shows them.");
                return ExitCode.BadInput;
            }

            foreach (DeadLetter letter in letters)
            {
                int waiting = store.Resend(letter.Channel, letter.Sequence);
                store.Record(CommandAudit.Entry("notice sent again", letter.Notice.VesselId, after: $"{letter.Channel}: {letter.Notice.Key}"));
                Console.WriteLine(FormattableString.Invariant($"{letter.Notice.Key} waits again, {Math.Max(0, waiting - 1)} later notices of its vessel behind it."));
            }

            return ExitCode.Done;
        }));
        return command;
    }

    private static Command Answers() => OnStore("answers", "Show the answers of the queues: taken, done, rejected, with who and when.", (_, store) =>
    {
        long after = 0;
        while (store.AnswersAfter(after, MostAnswers) is { Count: > 0 } answers)
        {
            foreach (RecordedAnswer recorded in answers)
            {
                JobAnswer answer = recorded.Answer;
                string values = answer.Work is { } work
                    ? FormattableString.Invariant($", {work.ToString().ToLowerInvariant()}: {answer.GasPressureBarGauge} bar gauge at {answer.GasTemperatureCelsius} °C")
                    : "";
                Console.WriteLine(FormattableString.Invariant(
                    $"{answer.At.UtcDateTime:yyyy-MM-dd'T'HH:mm:ss'Z'}  {answer.JobKey}: {answer.Kind.ToString().ToLowerInvariant()} by {answer.Who}{values} (by {recorded.Via}, {recorded.Authority})"));
                if (answer.Remark.Length > 0)
                {
                    Console.WriteLine("    " + answer.Remark.ReplaceLineEndings(" "));
                }
            }

            after = answers[^1].Sequence;
        }

        return ExitCode.Done;
    });

    private static Command OnStore(string name, string description, Func<ServiceSettings, PlantStore, int> work)
    {
        Option<FileInfo> settings = SettingsOption.Create();
        Command command = new(name, description) { settings };
        command.SetAction(parsed => ExistingStore.With(parsed.GetRequiredValue(settings), work));
        return command;
    }
}
