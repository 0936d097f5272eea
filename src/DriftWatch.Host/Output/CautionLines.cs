using DriftWatch.Plant.Safety;

namespace DriftWatch.Host.Output;

/// <summary>The cautions for a terminal: they stand below whatever tells somebody to do something to a vessel.</summary>
internal static class CautionLines
{
    public static void Write(TextWriter output)
    {
        output.WriteLine();
        output.WriteLine("Before any work on a vessel:");
        foreach (string line in SafetyLines.All)
        {
            output.WriteLine($"  - {line}");
        }
    }
}
