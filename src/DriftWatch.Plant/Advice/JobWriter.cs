using System.Globalization;
using DriftWatch.Gas.Charging;
using DriftWatch.Gas.Quantities;
using DriftWatch.Gas.Units;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Priorities;
using DriftWatch.Plant.Register;
using DriftWatch.Plant.Safety;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Prognosis;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Plant.Advice;

/// <summary>Writes the job that an assessment asks for: complete enough to do the work from.</summary>
public static class JobWriter
{
    private const double LowestTableCelsius = -30;
    private const double HighestTableCelsius = 80;
    private const double TableStepCelsius = 5;

    /// <summary>The job for a cause.</summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="cause">Why.</param>
    /// <param name="assessment">The assessment that asks for it.</param>
    public static Job Write(Vessel vessel, JobCause cause, Assessment assessment) =>
        Write(vessel, cause, assessment, assessment.AsOf);

    /// <summary>A job that stands, written anew by a later assessment: same key, next revision.</summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="job">The job as it stands.</param>
    /// <param name="assessment">The assessment now.</param>
    /// <param name="graver">Whether its priority has risen, or nearly all gas has gone: the time allowed then counts from now, and never ends later than it did.</param>
    public static Job Renew(Vessel vessel, Job job, Assessment assessment, bool graver)
    {
        Job renewed = Write(vessel, job.Cause, assessment, graver ? assessment.AsOf : job.Raised);
        if (graver && renewed.LatestDue > job.LatestDue)
        {
            renewed = renewed with { Due = job.Due, DueReason = job.DueReason, LatestDue = job.LatestDue, PlannedStop = job.PlannedStop };
        }

        return renewed with { Key = job.Key, Raised = job.Raised, Revision = job.Revision + 1, Taken = job.Taken, ReportedDone = job.ReportedDone };
    }

    private static Job Write(Vessel vessel, JobCause cause, Assessment assessment, DateTimeOffset from)
    {
        VesselSpecification specification = vessel.Specification;
        TransducerDrift? drift = cause == JobCause.TransducerDrift ? assessment.Drift : null;
        bool charge = cause is JobCause.BelowLowerLimit or JobCause.FallingFasterThanAllowed;
        bool suspect = cause == JobCause.BelowLowerLimit && VesselRisk.NearlyGone(specification, assessment);
        VesselRisk risk = VesselRisk.Of(specification, cause, assessment);
        DueDate due = DueDate.Of(cause, assessment, suspect, from, vessel.Calendar);
        AmountOfGas? nitrogen = charge ? NitrogenToNominal(specification, assessment) : null;
        return new Job
        {
            Key = string.Create(CultureInfo.InvariantCulture, $"{vessel.Id}/{cause}/{assessment.AsOf.UtcDateTime:yyyyMMdd'T'HHmmss'Z'}"),
            Priority = risk.Priority,
            VesselId = vessel.Id,
            VesselDescription = vessel.Description,
            VesselPlace = vessel.Place,
            Cause = cause,
            Reason = drift is null ? ReasonOf(specification, cause, assessment) : DriftJob.Reason(drift),
            Raised = assessment.AsOf,
            Due = due.Instant,
            DueReason = due.Reason,
            LatestDue = due.Latest,
            PlannedStop = due.PlannedStop,
            ChartId = vessel.Id,
            LostUsableShare = ThreeDigits(risk.LostUsableShare),
            LostUsableShareAtLowerLimit = ThreeDigits(UsableVolumeLoss.At(specification, LowerLimitPa(specification))?.Share),
            LowerLimitReached = IsAboveLowerLimit(specification, assessment) ? assessment.Forecast?.Crossing : null,
            RecommendedRecharge = charge ? RechargeAdvice.By(assessment) : null,
            Isolation = SafetyLines.Isolation,
            Evidence = drift is null ? Evidence(specification, assessment) : [.. DriftJob.Evidence(drift), .. Evidence(specification, assessment)],
            Steps = WorkSteps.For(cause, specification.Type, suspect),
            ChargingTargets = ChargingTable(specification),
            Filling = charge ? FillingAdviser.For(specification, assessment) : null,
            Parts = PartsList.For(cause, specification.Type, suspect),
            RecordAfter = RecordList.For(cause),
            NitrogenKg = ThreeDigits(nitrogen?.KilogramsOfNitrogen),
            NitrogenStandardLitres = ThreeDigits(nitrogen?.VolumeAt(StandardCondition.Din1343).Litres),
            Cautions = SafetyLines.All,
        };
    }

    /// <summary>
    /// Gauge pressure that is the nominal precharge, at gas temperatures from -30 to 80 degrees C, a winter yard and a hot press: who works
    /// from paper has no other row, and the nearest would overcharge a colder vessel.
    /// </summary>
    public static IReadOnlyList<ChargingTargetRow> ChargingTable(VesselSpecification vessel)
    {
        AbsolutePressure nominal = vessel.NominalPrecharge.ToAbsolute(vessel.Ambient);
        List<ChargingTargetRow> rows = [];
        for (double celsius = LowestTableCelsius; celsius <= HighestTableCelsius; celsius += TableStepCelsius)
        {
            GaugePressure target = ChargingTarget.GaugePressureAt(
                GasTemperature.FromDegreesCelsius(celsius), nominal, vessel.ReferenceTemperature, vessel.Ambient);
            rows.Add(new ChargingTargetRow(celsius, FinerThanShown(target)));
        }

        return rows;
    }

    /// <summary>A level that a check has answered may stand in the verdict while the job is for the silence since.</summary>
    private static string ReasonOf(VesselSpecification vessel, JobCause cause, Assessment assessment) =>
        cause == JobCause.NoWindowTooLong && assessment.Ground is VerdictGround.LevelBelow or VerdictGround.LevelAbove
            ? VerdictWords.Reason(vessel, assessment with { Ground = VerdictGround.Silence }, PressureUnit.Bar)
            : assessment.Reason;

    private static AmountOfGas? NitrogenToNominal(VesselSpecification vessel, Assessment assessment)
    {
        AbsolutePressure nominal = vessel.NominalPrecharge.ToAbsolute(vessel.Ambient);

        // A line through points that scatter may end below nothing; a vessel that is open or empty of gas holds ambient pressure.
        return assessment.PrechargePa is { } now && now < nominal.Pascals
            ? ChargingTarget.NitrogenToAdd(AbsolutePressure.FromPascals(Math.Max(now, vessel.Ambient.Pascals)), nominal, vessel.ReferenceTemperature, vessel.GasVolume)
            : null;
    }

    private static double LowerLimitPa(VesselSpecification vessel) => vessel.LowerLimit.ToAbsolute(vessel.Ambient).Pascals;

    private static bool IsAboveLowerLimit(VesselSpecification vessel, Assessment assessment) => assessment.PrechargePa > LowerLimitPa(vessel);

    private static List<string> Evidence(VesselSpecification vessel, Assessment assessment)
    {
        List<string> lines = [];
        if (assessment.PrechargePa is { } level && assessment.LevelSeen() is { } seen)
        {
            // A rounded zero has no sign.
            double gaugeBar = Math.Round((level - vessel.Ambient.Pascals) / 1e5, 1) + 0.0;
            double uncertaintyBar = Math.Max(CoverageFactor.Expanded * assessment.PrechargeUncertaintyPa!.Value, PressureUnit.Bar.SmallestShownPa) / 1e5;
            lines.Add(Invariant($"Precharge {gaugeBar:0.0} bar gauge at {vessel.ReferenceTemperature.DegreesCelsius:0} degrees C (uncertainty {uncertaintyBar:0.0} bar, k = 2); {(assessment.FoundByHand is null ? "last window" : "found by hand")} {seen.UtcDateTime:yyyy-MM-dd HH:mm} UTC."));
        }

        lines.Add(Invariant($"Nominal {vessel.NominalPrecharge.Bar:0.0} bar gauge, limits {vessel.LowerLimit.Bar:0.0} to {vessel.UpperLimit.Bar:0.0} bar gauge at {vessel.ReferenceTemperature.DegreesCelsius:0} degrees C."));
        if (assessment is { FoundByHand: not null, LastWindow: { } before })
        {
            // The line through them says nothing of what was lost since.
            lines.Add($"The last precharge window before it was on {DayText.Of(before)}.");
        }
        else if (assessment.Segment is { } segment)
        {
            lines.Add(Invariant($"{assessment.PointCount} precharge windows since {segment.Start.UtcDateTime:yyyy-MM-dd}."));
        }

        if (assessment is { FoundByHand: null, Fit: { } fit })
        {
            LossRate loss = LossRate.Of(vessel, fit);
            double halfBar = fit.SlopeNowHalfWidthPaPerSecond() * LossRate.SecondsPerMonth / 1e5;
            lines.Add(Invariant($"Loss {loss.BarPerMonth:0.000} bar/month (95 % interval {loss.BarPerMonth - halfBar:0.000} to {loss.BarPerMonth + halfBar:0.000} bar/month); {loss.PercentPerMonth:0.00} %/month; {loss.PascalCubicMetresPerSecond:0.0e+0} Pa m3/s; allowed {vessel.AllowedLossPaPerSecond * LossRate.SecondsPerMonth / 1e5:0.000} bar/month."));
        }

        if (assessment.Forecast is { Crossing: { } crossing } forecast && IsAboveLowerLimit(vessel, assessment))
        {
            lines.Add($"Lower limit reached {DayText.Of(crossing)} (95 % interval {DayText.Of(forecast.Earliest, "open")} to {DayText.Of(forecast.Latest, "open")}).");
        }

        if (assessment.LostUsableVolume is { } lost)
        {
            string atLimit = assessment.Forecast?.LossAtCrossing is { } then ? Invariant($"; {100 * then.Share:0} % ({then.Litres:0.0} l) at the lower limit") : "";
            lines.Add(Invariant($"Usable volume lost against the nominal precharge: {100 * lost.Share:0} % ({lost.Litres:0.0} l) now{atLimit} (slow stroke at {vessel.ReferenceTemperature.DegreesCelsius:0} degrees C)."));
        }

        if (assessment.DataFault.Length > 0)
        {
            lines.Add(assessment.DataFault);
        }

        return lines;
    }

    /// <summary>Bar gauge to a hundredth, which is a kPa and finer than a psi: what is shown in another unit is rounded once only.</summary>
    internal static double FinerThanShown(GaugePressure pressure) => Math.Round(pressure.Bar, 2);

    /// <summary>What the uncertainty of the precharge and a bottle's gauge are worth.</summary>
    private static double? ThreeDigits(double? value) => value is { } known
        ? double.Parse(known.ToString("G3", CultureInfo.InvariantCulture), CultureInfo.InvariantCulture)
        : null;

    private static string Invariant(FormattableString text) => FormattableString.Invariant(text);
}
