using System.CommandLine;
using System.Text;
using DriftWatch.Plant.Readings;
using DriftWatch.Storage;

namespace DriftWatch.Host.Commands;

/// <summary>Shows the messages that could not be read, with their reasons.</summary>
internal static class SetAsideCommand
{
    public static Command Create()
    {
        Option<FileInfo> settings = SettingsOption.Create();
        Command command = new("set-aside", "Show the messages that could not be read: source, how many, and of the newest the reason and the content.") { settings };
        command.SetAction(parsed => ExistingStore.With(parsed.GetRequiredValue(settings), (_, store) =>
        {
            foreach (QuarantineSource source in store.Quarantine())
            {
                Console.WriteLine(FormattableString.Invariant($"{source.Source}: {source.Count} set aside"));
                foreach (QuarantinedMessage message in source.Kept)
                {
                    Console.WriteLine(FormattableString.Invariant($"  {message.Arrived.UtcDateTime:yyyy-MM-dd'T'HH:mm:ss'Z'}  {message.Reason}"));
                    string cut = message.Length > message.Payload.Length
                        ? FormattableString.Invariant($" ... the first {message.Payload.Length} of {message.Length} bytes, SHA-256 {message.Digest}")
                        : "";
                    Console.WriteLine("    " + Readable(message.Payload.Span) + cut);
                }
            }

            return ExitCode.Done;
        }));
        return command;
    }

    /// <summary>Text as text, on one line; other bytes in hexadecimal.</summary>
    private static string Readable(ReadOnlySpan<byte> payload)
    {
        string text = Encoding.UTF8.GetString(payload);
        return text.Contains('\uFFFD', StringComparison.Ordinal) || text.Any(character => char.IsControl(character) && !char.IsWhiteSpace(character))
            ? Convert.ToHexString(payload)
            : text.ReplaceLineEndings(" ");
    }
}
