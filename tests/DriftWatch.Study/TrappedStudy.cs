using DriftWatch.SamplePlant;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Tracking;
using DriftWatch.Trends.Vessels;
using DriftWatch.Trends.Windows;
using InventedPlant = DriftWatch.SamplePlant.Plant;

namespace DriftWatch.Study;

/// <summary>
/// Rests with fluid shut in, told from the gas side alone by readings of the invented plant: how many end up as points of
/// the trend although the fluid lifted the pressure by more than <see cref="LiftShare"/>.
/// </summary>
public static class TrappedStudy
{
    /// <summary>Fluid that lifts the pressure by less no longer stands in the way.</summary>
    public const double LiftShare = 0.005;

    private const string ScriptId = "PR1-A2";

    /// <summary>Vessels of the plant's 'trapped fluid' script with other dice, each over the script's 19 months.</summary>
    /// <param name="vessels">How many.</param>
    /// <param name="trappedShare">Share of the stops that leave fluid in the vessel, 0 to 1.</param>
    public static TrappedFigures Run(int vessels, double trappedShare)
    {
        VesselScript script = InventedPlant.Vessels.Single(vessel => vessel.Id == ScriptId) with { TrappedShare = trappedShare };
        (int Episodes, int Taken, int Points)[] outcomes = new (int, int, int)[vessels];
        Parallel.For(0, vessels, i => outcomes[i] = One(script, (ulong)(1000 + i)));
        return new TrappedFigures(
            outcomes.Sum(outcome => outcome.Episodes), outcomes.Sum(outcome => outcome.Taken), outcomes.Sum(outcome => outcome.Points));
    }

    private static (int Episodes, int Taken, int Points) One(VesselScript script, ulong seed)
    {
        VesselSpecification vessel = ScriptedVessel.SpecificationOf(script);
        var tracker = new VesselTracker(vessel, [], TrackerState.Start, [], []);
        Dictionary<DateTimeOffset, PrechargeWindow> last = [];
        List<(DateTimeOffset At, double LiftShare)> lifted = [];
        int episodes = VesselRun.Timetable(script, seed).Count(stretch => stretch.State == FluidState.Trapped);
        foreach (Sample sample in VesselRun.Samples(script, seed))
        {
            foreach (Reading reading in ScriptedVessel.ReadingsOf(sample.Reading).Order())
            {
                tracker.Accept(reading);
            }

            foreach (PrechargeWindow window in tracker.TakeChangedWindows())
            {
                last[window.Start] = window;
            }

            if (sample.Truth.Fluid == FluidState.Trapped)
            {
                double rest = Gas.Nitrogen.NitrogenEquation.PressurePa(
                    sample.Truth.GasTemperatureK, sample.Truth.AmountMol / sample.Truth.GasVolumeM3);
                lifted.Add((sample.Reading.Time, (sample.Truth.GasPressurePa / rest) - 1));
            }
        }

        int taken = 0, points = 0, index = 0;
        foreach (PrechargeWindow window in last.Values.Where(window => window.Standing == WindowStanding.Accepted).OrderBy(window => window.Start))
        {
            points++;
            while (index < lifted.Count && lifted[index].At < window.Middle)
            {
                index++;
            }

            bool stoodIn = index < lifted.Count && lifted[index].At <= window.End && lifted[index].LiftShare > LiftShare;
            taken += stoodIn ? 1 : 0;
        }

        return (episodes, taken, points);
    }
}
