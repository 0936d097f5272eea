using DriftWatch.Plant.Jobs;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Plant.Advice;

/// <summary>What to do at the vessel, in the trade's order (common practice; the maker's instructions come first).</summary>
internal static class WorkSteps
{
    private static readonly string[] Approach =
    [
        "Isolate the vessel from the live system, secure it against pressure coming back, and release its fluid side fully.",
        "Wait until the gas has come to a steady temperature; then read gas pressure and gas temperature with the charging unit and note both.",
    ];

    private static readonly string[] ChargeAndClose =
    [
        "Charge nitrogen slowly through the regulator, a little above the target for the gas temperature; let the gas settle; bleed slowly down to the target of the table at the temperature then read.",
        "Close the gas valve, check that it is tight, fit its cap.",
    ];

    private const string FindTheLeak = "Look for the leak with leak-detection fluid at the gas valve, its seal and the gas-side joints.";

    private const string Record = "Record date, gas pressure, gas temperature, what was found and done, and who did it; have the charge entered in the vessel register.";

    private const string CheckAgain = "Check the precharge again a week after charging.";

    public static IReadOnlyList<string> For(JobCause cause, VesselType type, bool separatorSuspect) => cause switch
    {
        JobCause.BelowLowerLimit when separatorSuspect =>
        [
            .. Approach,
            $"Nearly all gas is gone. Do not charge yet: {SeparatorCheck(type)} If it has failed, it is replaced by licensed persons to the maker's instructions.",
            FindTheLeak,
            "Only with a sound separator: charge as follows.",
            .. ChargeAndClose, Record, CheckAgain,
        ],
        JobCause.BelowLowerLimit or JobCause.FallingFasterThanAllowed =>
        [
            .. Approach, FindTheLeak, SeparatorCheck(type), .. ChargeAndClose, Record, CheckAgain,
        ],
        JobCause.AboveUpperLimit =>
        [
            .. Approach,
            $"Above the target, fluid may stand in the gas side: watch for fluid when gas is let off. {SeparatorCheck(type)}",
            "Without fluid in the gas side: bleed slowly down to the target of the table at the gas temperature then read; never below it.",
            "Close the gas valve, check that it is tight, fit its cap.", Record,
        ],
        JobCause.NoWindowTooLong =>
        [
            .. Approach,
            "Compare with the table: the pressure read should be the target at the gas temperature read. Outside the limits, charge or bleed to the target.",
            "Check both transducers against the charging unit's gauge and a thermometer, and their signals and wiring.", Record,
        ],
        JobCause.TransducerDrift =>
        [
            .. Approach,
            "Note what the transducer shows at the same moment, best with another gauge than at the last checks.",
            "If they disagree by more than both can be wrong: have the transducer calibrated or replaced, and its signal, supply and wiring checked. If they agree, the checks before were wrong: look at the gauge used then.",
            "Check the precharge by hand once more beside the mended transducer, and record the check.", Record,
        ],
        _ => throw new ArgumentOutOfRangeException(nameof(cause), cause, "Not a cause of a job."),
    };

    private static string SeparatorCheck(VesselType type) => type switch
    {
        VesselType.Bladder => "Look for fluid at the gas valve and for gas in the fluid: signs of a torn bladder.",
        VesselType.Diaphragm => "Look for fluid at the gas valve and for gas in the fluid: signs of a torn diaphragm.",
        _ => "Look for fluid at the gas valve and for gas in the fluid: signs of worn piston seals.",
    };
}
