using DriftWatch.Plant.Jobs;

namespace DriftWatch.Plant.Advice;

/// <summary>What to record when the work is done, and where: pages and command take it from those who may not change the register.</summary>
internal static class RecordList
{
    /// <summary>Where a charge or bleed is recorded.</summary>
    public const string Charge = "on the vessel's page Charging or by 'driftwatch records charge'";

    /// <summary>Where a check is recorded.</summary>
    public const string Check = "on the page Round or by 'driftwatch records check'";

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
            lines.Add($"The charge or bleed, {Charge}");
        }
        else
        {
            lines.Add($"The check, {Check}");
            lines.Add("Transducers compared, readings side by side, and what was mended");
        }

        return lines;
    }
}
