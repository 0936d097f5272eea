using Spectre.Console;

namespace DriftWatch.Host.Output;

/// <summary>Where people read the answer.</summary>
internal static class Terminal
{
    /// <summary>Wide enough for a row of the verdict table, when the output goes to a file or a pipe.</summary>
    private const int WidthOfFile = 200;

    public static IAnsiConsole Create()
    {
        IAnsiConsole console = AnsiConsole.Create(new AnsiConsoleSettings());
        if (Console.IsOutputRedirected)
        {
            console.Profile.Width = WidthOfFile;
        }

        return console;
    }
}
