using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Vessels;
using InventedPlant = DriftWatch.SamplePlant.Plant;

namespace DriftWatch.Study;

/// <summary>
/// The detector of sudden losses, which asks for two windows in a row far below what the last eight lead to expect: how often
/// it calls in lives without one, and how many windows it takes.
/// </summary>
public static class StepStudy
{
    private const double LevelPa = 100e5;

    private static readonly VesselSpecification Vessel =
        ScriptedVessel.SpecificationOf(InventedPlant.Vessels.Single(script => script.Id == "PR1-A1"));

    /// <summary>Lives of windows without a step, losing a tenth of what is allowed: how many are cut by a sudden loss or an unrecorded charge.</summary>
    public static int FalselyCut(int lives, int windows, World world) =>
        Trials.Run(FormattableString.Invariant($"cut {windows} {world}"), lives, dice =>
        {
            var maker = new PointMaker(world, dice);
            SegmentKeeper keeper = Keeper();
            bool Cut() => keeper.Current?.Cause is SegmentCause.SuddenLoss or SegmentCause.UnrecordedCharge;
            for (int i = 0; i < windows && !Cut(); i++)
            {
                keeper.Offer(maker.At(i, LevelPa - (LifeStudy.AllowedPaPerDay / 10 * i)));
            }

            return Cut();
        }).Count(cut => cut);

    /// <summary>Mean number of windows from a step, the first after it counted, until it is called; steps not called in 40 windows count as 40.</summary>
    public static double WindowsToCall(int trials, double stepOverUncertainty, World world) =>
        Trials.Run(FormattableString.Invariant($"step {stepOverUncertainty} {world}"), trials, dice =>
        {
            var maker = new PointMaker(world, dice);
            SegmentKeeper keeper = Keeper();
            for (int i = 0; i < 60; i++)
            {
                keeper.Offer(maker.At(i, LevelPa));
            }

            for (int i = 1; i <= 40; i++)
            {
                keeper.Offer(maker.At(59 + i, LevelPa - (stepOverUncertainty * PointMaker.UncertaintyPa)));
                if (keeper.Current!.Cause == SegmentCause.SuddenLoss)
                {
                    return i;
                }
            }

            return 40;
        }).Average();

    private static SegmentKeeper Keeper() => new(Vessel, [], SegmentState.Start, [], [], _ => { });
}
