using DriftWatch.Gas.Quantities;
using DriftWatch.SamplePlant;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;
using DriftWatch.Trends.Windows;
using InventedPlant = DriftWatch.SamplePlant.Plant;
using Verdict = DriftWatch.Trends.Verdicts.Verdict;

namespace DriftWatch.Study;

/// <summary>
/// Vessels from window to verdict, through the division into segments as well: recharged on record whenever they have lost
/// so much, windows a day to a month apart. What the parts promise one by one has to hold of the whole.
/// </summary>
public static class WholeLifeStudy
{
    private const double FullPa = 101e5;
    private const double DaySeconds = 86400;

    private static readonly VesselSpecification Vessel =
        ScriptedVessel.SpecificationOf(InventedPlant.Vessels.Single(script => script.Id == "PR1-A1")) with
        {
            NominalPrecharge = GaugePressure.FromPascals(100e5),
            LowerLimit = GaugePressure.FromPascals(60e5),
            UpperLimit = GaugePressure.FromPascals(110e5),
            Ambient = AbsolutePressure.FromPascals(1e5),
            AllowedLossPaPerSecond = LifeStudy.AllowedPaPerDay / DaySeconds,
            LongestSilence = TimeSpan.FromDays(400),
        };

    /// <summary>Lives of some years.</summary>
    /// <param name="lives">Lives.</param>
    /// <param name="days">Days of a life.</param>
    /// <param name="spacingDays">Days from window to window.</param>
    /// <param name="tightDays">Days without loss after each charge, drawn up to twice this.</param>
    /// <param name="rate">Loss over the allowed one, once it has begun.</param>
    /// <param name="rechargeBar">Loss after which it is recharged, bar.</param>
    /// <param name="evidence">What shows the rests.</param>
    /// <param name="alpha">The vessel's false-alarm probability.</param>
    /// <param name="world">How the windows err.</param>
    public static WholeLifeFigures Run(
        int lives, int days, int spacingDays, double tightDays, double rate, double rechargeBar, WindowEvidence evidence, double alpha, World world)
    {
        string purpose = FormattableString.Invariant($"whole {days} {spacingDays} {tightDays} {rate} {rechargeBar} {evidence} {alpha} {world}");
        (int Day, bool AtOnce)?[] calls = Trials.Run(
            purpose, lives, dice => One(days, spacingDays, tightDays, rate, rechargeBar, evidence, Vessel with { FalseAlarmProbability = alpha }, world, dice));
        return new WholeLifeFigures(
            lives, calls.Count(call => call is not null), calls.Count(call => call is { AtOnce: true }), calls.Average(call => call?.Day ?? days));
    }

    private static (int Day, bool AtOnce)? One(
        int days, int spacingDays, double tightDays, double rate, double rechargeBar, WindowEvidence evidence, VesselSpecification vessel, World world, Dice dice)
    {
        var maker = new PointMaker(world, dice);
        List<GasSideWork> charges = [];
        List<PrechargeWindow> windows = [];
        double full = 0, tight = 2 * tightDays * dice.Uniform();
        for (int day = 0; day < days; day += spacingDays)
        {
            double lost = rate * LifeStudy.AllowedPaPerDay * Math.Max(0, day - full - tight);
            if (lost > rechargeBar * 1e5)
            {
                charges.Add(new GasSideWork(PointMaker.Start.AddDays(day - 0.1), GasSideWorkKind.Charge));
                (full, tight, lost) = (day, 2 * tightDays * dice.Uniform(), 0);
            }

            windows.Add(maker.At(day, FullPa - lost) with { Evidence = evidence, Rest = day });
        }

        SegmentKeeper keeper = new(vessel, charges, SegmentState.Start, [], [], _ => { });
        for (int i = 0; i < windows.Count; i++)
        {
            if (!keeper.Offer(windows[i]) || keeper.Points.Count == 0)
            {
                continue;
            }

            DateTimeOffset now = windows[i].End;
            Assessment assessment = VerdictJudge.Assess(
                vessel, new VesselEvidence(keeper.Current, keeper.Points, keeper.Series, keeper.State.PreviousLevelPa, now, now, ""), now);
            if (assessment.Verdict == Verdict.FallingFasterThanAllowed)
            {
                return (i * spacingDays, assessment.Ground == VerdictGround.SuddenLoss);
            }
        }

        return null;
    }
}
