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

    private const string Write = "Write down date, gas pressure, gas temperature, what was found and done, and who did it";
    private const string RecordCharge = $"{Write}; record the charge or bleed {RecordList.Charge}. The register file (charges) is for plants that use neither.";
    private const string RecordCheck = $"{Write}; record the check {RecordList.Check}, and gas let in or off {RecordList.Charge}. The register file (checks, charges) is for plants that use neither.";

    private const string CheckAgain = "Check the precharge again a week after charging.";

    public static IReadOnlyList<string> For(JobCause cause, VesselType type, bool separatorSuspect) => cause switch
    {
        JobCause.BelowLowerLimit when separatorSuspect =>
        [
            .. Approach,
            SeparatorCheck.BeforeCharging(type),
            FindTheLeak,
            "Only with a sound separator: charge as follows.",
            .. ChargeAndClose, RecordCharge, CheckAgain,
        ],
        JobCause.BelowLowerLimit or JobCause.FallingFasterThanAllowed =>
        [
            .. Approach, FindTheLeak, SeparatorCheck.Signs(type), .. ChargeAndClose, RecordCharge, CheckAgain,
        ],
        JobCause.AboveUpperLimit =>
        [
            .. Approach,
            $"Above the target, fluid may stand in the gas side: watch for fluid when gas is let off. {SeparatorCheck.Signs(type)}",
            "Without fluid in the gas side: bleed slowly down to the target of the table at the gas temperature then read; never below it.",
            "Close the gas valve, check that it is tight, fit its cap.", RecordCharge,
        ],
        JobCause.NoWindowTooLong =>
        [
            .. Approach,
            "Compare with the table: the pressure read should be the target at the gas temperature read. Outside the limits, charge or bleed to the target.",
            "Check both transducers against the charging unit's gauge and a thermometer, and their signals and wiring.", RecordCheck,
        ],
        JobCause.TransducerDrift =>
        [
            .. Approach,
            "Note what the transducer shows at the same moment, best with another gauge than at the last checks.",
            "If they disagree by more than both can be wrong: have the transducer calibrated or replaced, and its signal, supply and wiring checked. If they agree, the checks before were wrong: look at the gauge used then.",
            "Check the precharge by hand once more beside the mended transducer.", RecordCheck,
            "Where the transducer was replaced, moved or calibrated, record that too, by 'driftwatch records transducer'.",
        ],
        _ => throw new ArgumentOutOfRangeException(nameof(cause), cause, "Not a cause of a job."),
    };
}
