using DriftWatch.Gas.Units;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Prognosis;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Plant.Rounds;

/// <summary>
/// What a check by hand says of the level where the transducers say nothing: a precharge found outside its limits is no less so because
/// no window shows it. It makes verdict and job; alarms tell what is measured. Windows near the check or since it speak for themselves;
/// whether transducer or gauge is right then is the question of <see cref="HandAgainstTransducer"/>.
/// </summary>
public static class HandLevel
{
    /// <summary>The assessment with the level that the last check found, where that lies outside the limits by more than its uncertainty (k = 2); else as it is.</summary>
    /// <param name="vessel">The vessel with its records.</param>
    /// <param name="readings">Its readings by hand, in order of time.</param>
    /// <param name="now">What its windows say.</param>
    /// <param name="firstReading">When its transducers were heard first, UTC; null for never.</param>
    public static Assessment In(Vessel vessel, IReadOnlyList<HandReading> readings, Assessment now, DateTimeOffset? firstReading)
    {
        ArgumentNullException.ThrowIfNull(vessel);
        ArgumentNullException.ThrowIfNull(readings);
        ArgumentNullException.ThrowIfNull(now);
        VesselSpecification specification = vessel.Specification;
        if (Decisive(specification, readings, now.AsOf) is not ({ } ground, { } reading)
            || (reading.At - now.LastWindow < HandAgainstTransducer.Reach && !WorkBetween(vessel, now.LastWindow!.Value, reading.At))
            || VesselRecords.LastCharge(vessel, now.AsOf)?.At >= reading.At
            || firstReading - reading.At > specification.LongestSilence) // From long before there were readings: nobody knows what was done since.
        {
            return now;
        }

        Assessment found = now with
        {
            Verdict = ground == VerdictGround.LevelBelow ? Verdict.BelowLowerLimit : Verdict.AboveUpperLimit,
            Ground = ground,
            FoundByHand = reading.At,
            PrechargePa = reading.PrechargePa,
            PrechargeUncertaintyPa = reading.CombinedUncertaintyPa,
            LostUsableVolume = UsableVolumeLoss.At(specification, reading.PrechargePa),
            Forecast = null,
            Rising = null,
        };
        return found with { Reason = VerdictWords.Reason(specification, found, PressureUnit.Bar) };
    }

    /// <summary>Whether a charge or a change of a transducer lies between the last window and a reading after it: then that window is of another gas, or another transducer.</summary>
    private static bool WorkBetween(Vessel vessel, DateTimeOffset window, DateTimeOffset reading) =>
        VesselRecords.LastCharge(vessel, reading)?.At >= window || VesselRecords.LastTransducerChange(vessel, reading) >= window;

    /// <summary>
    /// The last reading that lies on one side of the limits without doubt, and what it is a ground for; none where that is inside them, or
    /// on the other side of what has been in doubt since.
    /// </summary>
    private static (VerdictGround? Ground, HandReading? Reading) Decisive(VesselSpecification vessel, IReadOnlyList<HandReading> readings, DateTimeOffset asOf)
    {
        CheckMeaning? doubt = null;
        for (int i = readings.Count - 1; i >= 0; i--)
        {
            HandReading reading = readings[i];
            if (reading.At > asOf)
            {
                continue;
            }

            CheckMeaning meaning = CheckFinding.MeaningOf(
                vessel, reading.PrechargePa - vessel.Ambient.Pascals, CoverageFactor.Expanded * reading.CombinedUncertaintyPa);
            switch (meaning)
            {
                case CheckMeaning.BelowLowerLimit when doubt != CheckMeaning.AtUpperLimit:
                    return (VerdictGround.LevelBelow, reading);
                case CheckMeaning.AboveUpperLimit when doubt != CheckMeaning.AtLowerLimit:
                    return (VerdictGround.LevelAbove, reading);
                case CheckMeaning.AtLowerLimit or CheckMeaning.AtUpperLimit:
                    doubt ??= meaning;
                    break;
                default:
                    return default;
            }
        }

        return default;
    }
}
