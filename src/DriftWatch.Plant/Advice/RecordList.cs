using DriftWatch.Plant.Jobs;

namespace DriftWatch.Plant.Advice;

/// <summary>What to record when the work is done.</summary>
internal static class RecordList
{
    public static IReadOnlyList<string> For(JobCause cause)
    {
        List<string> lines =
        [
            "Date and time, and who did it",
            "Gas pressure and gas temperature as found, fluid side released",
            "What was found: leak and where, fluid in the gas side, state of valve and seals",
        ];
        if (cause is not (JobCause.NoWindowTooLong or JobCause.TransducerDrift))
        {
            lines.AddRange(["Gas pressure and gas temperature as left, after settling", "Nitrogen used or let off", "Parts replaced"]);
            lines.Add("The charge or bleed in the vessel register (charges)");
        }
        else
        {
            lines.Add("The check in the vessel register (checks), with pressure and temperature");
            lines.Add("Transducers compared, readings side by side, and what was mended");
        }

        return lines;
    }
}
