using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Uncertainty;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Trends.Windows;

/// <summary>
/// Judges a run of rest by its own readings: where it had settled, what precharge it shows and how well, and whether
/// pressure and temperature moved together along one line of constant density.
/// </summary>
internal sealed class WindowJudge
{
    private const int FewestReadings = 3;

    /// <summary>A shorter plateau of the gas side alone may be a working pressure that happens to stand still.</summary>
    private static readonly TimeSpan ShortestPlateau = TimeSpan.FromMinutes(1);

    /// <summary>Settled: over the rest of the run the normalised pressure moves by less than this share, beyond its noise.</summary>
    private const double SettledShare = 0.001;

    /// <summary>... and that for at least this time, s, and share of the time before, where the settling time says nothing.</summary>
    private const double ShortestStillnessS = 600;
    private const double StillnessShare = 0.5;

    /// <summary>Less than this share of the lower limit is no gas that is only cold.</summary>
    private const double GoneShare = 0.5;

    /// <summary>Extrapolated is a rest of at least this many blocks and time constants, and over no more than this share of the precharge.</summary>
    private const int FewestBlocksToExtrapolate = 5;
    private const double FewestTimesToExtrapolate = 1;

    /// <summary>After so many time constants less than 1 % is left, and the readings themselves show the precharge.</summary>
    private const double MostTimesToExtrapolate = 5;
    private const double FarthestExtrapolation = 0.02;

    /// <summary>Readings that stray further from the curve of settling do not settle like that, as a share of the precharge.</summary>
    private const double ExtrapolationScatter = 0.002;

    /// <summary>One exponential is a simple picture of gas, wall and surroundings: this share of the way extrapolated is uncertain.</summary>
    private const double ExtrapolationModelShare = 0.2;

    /// <summary>Temperature must move by this much before the isochore is put to the proof, K.</summary>
    private const double IsochoreProofSpanK = 1.0;

    /// <summary>The proof fails when more than this share of the gas's own dependence on temperature is left over.</summary>
    private const double IsochoreProofShare = 0.5;

    /// <summary>After this time a gas that only comes to its temperature has done so.</summary>
    private static readonly TimeSpan ThermalSettling = TimeSpan.FromHours(1);

    /// <summary>
    /// A plateau that sinks by more than this share later on may still have had fluid in it: short of a level below the precharge, a leak
    /// as fast as that looks the same.
    /// </summary>
    private const double SinkShare = 0.01;

    private readonly VesselSpecification _vessel;
    private readonly PointBudget _budget;
    private readonly double _graininessPa;

    public WindowJudge(VesselSpecification vessel)
    {
        _vessel = vessel;
        _budget = new PointBudget(vessel);
        _graininessPa = _budget.ResolutionPa / Math.Sqrt(12);
    }

    /// <summary>The window a run shows, accepted as far as its own readings go; null when it is too short to say anything.</summary>
    public PrechargeWindow? Judge(RestRun run, ThermalMemory? memory = null)
    {
        IReadOnlyList<RestBlock> blocks = run.Blocks;
        if (blocks.Sum(block => block.Count) < FewestReadings
            || (run.Evidence == WindowEvidence.RestingPlateau && blocks[^1].Last - blocks[0].First < ShortestPlateau))
        {
            return null;
        }

        ThermalMemory thermal = memory ?? ThermalMemory.Start;
        var curve = new RestCurve(blocks, thermal.LagInUse.Seconds, PerKelvinPa(blocks));
        var asRead = new RestCurve(blocks, 0, curve.PerKelvinPa);
        double noisePa = BlockNoisePa(curve, blocks[^1].Count);
        SettlingFit? settling = thermal.Settling is { } known ? SettlingFit.Of(curve, 0, known.Seconds, noisePa) : null;
        int settledFrom = SettledFrom(curve, noisePa, thermal.Settling, settling);
        Level? settled = settledFrom < 0 ? null : MeanFrom(run, curve, settledFrom, noisePa, thermal.Settling, settling);
        Level? extrapolated = run.Evidence == WindowEvidence.RestingPlateau ? null : Extrapolated(curve, noisePa, thermal.Settling);
        if (Impossible(settled) || Impossible(extrapolated))
        {
            Level read = MeanFrom(run, asRead, 0, noisePa, null, null);
            return Describe(run, asRead, read, thermal) with
            {
                Standing = WindowStanding.Rejected,
                Reason = Impossible(read)
                    ? "The gas pressure of this rest is none that a charge of nitrogen can have. Check the pressure sensor, its range and its unit."
                    : "Corrected for the lag of the temperature sensor the precharge is none that a charge of nitrogen can have: the temperature moves faster than a gas. Check the temperature sensor.",
            };
        }

        if (settled is null && extrapolated is null)
        {
            return Unsettled(run, curve, asRead, noisePa, thermal);
        }

        if (settled is not { } mean || extrapolated?.OwnUncertaintyPa < mean.OwnUncertaintyPa)
        {
            return Describe(run, curve, extrapolated!.Value, thermal);
        }

        double slope = IsochoreSlope(curve, settledFrom);
        double slopeUncertainty = noisePa / Math.Sqrt(TemperatureSquares(curve, settledFrom));
        double leftover = Math.Sqrt(Math.Max(0, (slope * slope) - (slopeUncertainty * slopeUncertainty)));
        PrechargeWindow window = Describe(run, curve, mean, thermal, double.IsNaN(leftover) ? 0 : leftover);
        double mostSlope = IsochoreProofShare * window.MeanPressurePa / window.MeanTemperatureK;
        if (Math.Abs(slope) - (3 * slopeUncertainty) > mostSlope)
        {
            return window with
            {
                IsochoreSlopePaPerK = slope,
                Standing = WindowStanding.Rejected,
                Reason = FormattableString.Invariant(
                    $"Pressure and temperature do not move along one line of constant density: {slope / 1e5:0.00} bar/K are left over. Check the temperature sensor."),
            };
        }

        // Where the noise could hide a wrong slope nothing is proved by not seeing one.
        return 3 * slopeUncertainty <= mostSlope ? window with { IsochoreSlopePaPerK = slope } : window;
    }

    /// <summary>A rest that moves to its end: it shows that gas is lost where it falls evenly, and nothing where it does not.</summary>
    private PrechargeWindow? Unsettled(RestRun run, RestCurve curve, RestCurve asRead, double noisePa, ThermalMemory thermal)
    {
        if (FallingRest.EndOf(curve, noisePa, thermal.Settling) is var end and >= 0)
        {
            Level mean = MeanFrom(run, curve, end, noisePa, null, null);
            Level level = mean with { SettlingPa = Math.Abs(curve.Movement(end, curve.Count - 1, noisePa).MovementPa) / 2 };
            if (!Impossible(level))
            {
                return Describe(run, curve, level, thermal) with { Falls = true };
            }
        }

        return run.Evidence == WindowEvidence.RestingPlateau && run.Blocks.Count < 2 * FewestReadings
            ? null
            : Describe(run, asRead, MeanFrom(run, asRead, 0, noisePa, null, null), thermal) with
            {
                Standing = WindowStanding.Rejected,
                Reason = PrechargeWindow.NotSettled,
            };
    }

    /// <summary>
    /// What is remembered of the vessel's warmth once this run has told its part. A plateau of the gas side alone counts only
    /// where it was not rejected and does not fall: fluid that runs out moves the pressure too.
    /// </summary>
    public ThermalMemory Learn(RestRun run, ThermalMemory memory, PrechargeWindow? window)
    {
        bool mayHoldFluid = run.Evidence == WindowEvidence.RestingPlateau;
        if (run.Blocks.Count < FewestReadings || (mayHoldFluid && window is not { Standing: not WindowStanding.Rejected, Falls: false }))
        {
            return memory;
        }

        var curve = new RestCurve(run.Blocks, 0, PerKelvinPa(run.Blocks));
        double? settling = ThermalEstimator.SettlingS(curve);
        return memory.With(settling, settling is null ? null : ThermalEstimator.LagS(curve, mayHoldFluid));
    }

    /// <summary>
    /// Whether a plateau of the gas side alone sank long after its temperature had settled: fluid that seeps out, or a fast leak. Towards
    /// the end trapped fluid lies so little above the precharge that the plateau's own readings no longer tell it.
    /// </summary>
    public bool Sinks(RestRun run)
    {
        if (run.Evidence != WindowEvidence.RestingPlateau)
        {
            return false;
        }

        RestBlock last = run.Blocks[^1];
        foreach (RestBlock block in run.Blocks)
        {
            if (block.First - run.Blocks[0].First >= ThermalSettling)
            {
                return block.MeanPrechargePa - last.MeanPrechargePa > (SinkShare * last.MeanPrechargePa) + (4 * _graininessPa);
            }
        }

        return false;
    }

    /// <summary>A value for the precharge: from which block on, and how sure of its own readings and settling.</summary>
    private readonly record struct Level(int From, double PrechargePa, double ReadingsPa, double SettlingPa, double ExtrapolatedPa)
    {
        public double OwnUncertaintyPa => double.Hypot(ReadingsPa, SettlingPa);
    }

    /// <summary>No precharge: not above nothing, or beyond the equation of state.</summary>
    private static bool Impossible(Level? level) => level is { } found
        && !(found.PrechargePa > 0 && found.PrechargePa <= NitrogenRange.HighestPressurePa && double.IsFinite(found.OwnUncertaintyPa));

    private static Level MeanFrom(RestRun run, RestCurve curve, int from, double noisePa, ThermalTime? time, SettlingFit? settling)
    {
        int blocks = curve.Count - from;
        double sum = 0;
        int readings = 0;
        for (int i = from; i < curve.Count; i++)
        {
            sum += run.Blocks[i].Count * curve.Pascals[i];
            readings += run.Blocks[i].Count;
        }

        double mean = sum / readings;

        // Neighbouring blocks share what moves slowly, so the mean of many is trusted as a mean of a quarter of them.
        double ofReadings = Math.Max(BlockScatterPa(curve, from, mean), noisePa) / Math.Sqrt(Math.Max(1.0, blocks / 4.0));
        double left;
        if (time is { } constant && settling is { } fit)
        {
            // What the curve still had to go, in the mean of the window.
            double length = Math.Max(1, curve.Seconds[^1] - curve.Seconds[from]) / constant.Seconds;
            left = Math.Max(Math.Abs(fit.StartPa), fit.StartUncertaintyPa)
                * Math.Exp(-curve.Seconds[from] / constant.Seconds) * (1 - Math.Exp(-length)) / length;
        }
        else
        {
            (double movementPa, double uncertaintyPa) = curve.Movement(from, curve.Count - 1, noisePa);
            left = Math.Max(0, Math.Abs(movementPa) - (2 * uncertaintyPa)) / 2;
        }

        return new Level(from, mean, ofReadings, left, 0);
    }

    /// <summary>Where a rest that ended early was going, by the vessel's time constant; null where that cannot be told.</summary>
    private static Level? Extrapolated(RestCurve curve, double noisePa, ThermalTime? time)
    {
        int from = curve.AfterTurn();
        if (time is not { } constant
            || curve.Count - from < FewestBlocksToExtrapolate
            || curve.Seconds[^1] - curve.Seconds[from] < FewestTimesToExtrapolate * constant.Seconds
            || curve.Seconds[^1] > MostTimesToExtrapolate * constant.Seconds
            || SettlingFit.Of(curve, from, constant.Seconds, noisePa) is not { } fit)
        {
            return null;
        }

        double wayPa = Math.Abs(fit.StartPa) * Math.Exp(-curve.Seconds[^1] / constant.Seconds);
        if (!(wayPa <= FarthestExtrapolation * fit.EquilibriumPa && fit.ScatterPa <= (ExtrapolationScatter * fit.EquilibriumPa) + (2 * noisePa)))
        {
            return null;
        }

        double step = Math.Min(constant.UncertaintySeconds, constant.Seconds / 2);
        double slower = SettlingFit.Of(curve, from, constant.Seconds + step, noisePa)?.EquilibriumPa ?? fit.EquilibriumPa;
        double faster = SettlingFit.Of(curve, from, constant.Seconds - step, noisePa)?.EquilibriumPa ?? fit.EquilibriumPa;
        return new Level(
            from, fit.EquilibriumPa, fit.EquilibriumUncertaintyPa,
            double.Hypot((slower - faster) / 2, ExtrapolationModelShare * wayPa),
            fit.EquilibriumPa - curve.Pascals[^1]);
    }

    private PrechargeWindow Describe(RestRun run, RestCurve curve, Level level, ThermalMemory thermal, double leftoverPaPerK = 0)
    {
        RestBlock sum = run.Blocks[level.From];
        for (int i = level.From + 1; i < run.Blocks.Count; i++)
        {
            sum = sum.Join(run.Blocks[i]);
        }

        // Some 0.6 to 1.4 at real temperatures; a gas side at zero has no ratio, and its window says so otherwise.
        double scale = level.PrechargePa / sum.MeanPressurePa is var ratio and > 0.1 and < 10 ? ratio : 1;
        double rate = curve.Rate(level.From, curve.Count - 1);
        ThermalTime lag = thermal.LagInUse;

        // A rest too short to show the rate is not corrected, and the whole lag is uncertain.
        double lagUncertaintyS = curve.LagS > 0 ? lag.UncertaintySeconds : double.Hypot(lag.Seconds, lag.UncertaintySeconds);
        UncertaintyBudget budget = _budget.Of(
            sum.MeanPressurePa, sum.MeanTemperatureK, level.ReadingsPa / scale, rate, PressureRate(run.Blocks, level.From), lagUncertaintyS, level.SettlingPa, leftoverPaPerK);
        return new PrechargeWindow
        {
            Start = sum.First,
            End = sum.Last,
            ReadingCount = sum.Count,
            Evidence = run.Evidence,
            MeanPressurePa = sum.MeanPressurePa,
            MeanTemperatureK = sum.MeanTemperatureK,
            PrechargePa = level.PrechargePa,
            RandomUncertaintyPa = budget.RandomStandardUncertainty,
            SharedUncertaintyPa = budget.SharedStandardUncertainty,
            Shares = UncertaintyShares.Of(budget),

            // A negative zero would come back from the store as zero.
            LagCorrectionPa = 0 - Math.Round(curve.PerKelvinPa * curve.LagS * rate),
            ExtrapolatedPa = 0 + Math.Round(level.ExtrapolatedPa),
            IsochoreSlopePaPerK = double.NaN,
            Standing = WindowStanding.Accepted,
            Rest = run.Rest,
        };
    }

    /// <summary>Mean rate of the pressure from one block to the last, Pa/s; 0 between blocks of one instant.</summary>
    private static double PressureRate(IReadOnlyList<RestBlock> blocks, int from)
    {
        double seconds = (blocks[^1].Middle - blocks[from].Middle).TotalSeconds;
        return seconds > 0 ? (blocks[^1].MeanPressurePa - blocks[from].MeanPressurePa) / seconds : 0;
    }

    /// <summary>How the pressure at the reference temperature answers to an error of the temperature, Pa/K.</summary>
    private double PerKelvinPa(IReadOnlyList<RestBlock> blocks) => -IsochoricSensitivity.At(
        blocks[^1].MeanPressurePa, blocks[^1].MeanTemperatureK, _vessel.ReferenceTemperature.Kelvins).AtReferenceByTemperaturePaPerK;

    /// <summary>
    /// Noise of a block from second differences (von Neumann's idea, one order on): blind to movement that goes on evenly,
    /// which first differences would take for noise and so for a settled gas.
    /// </summary>
    private double BlockNoisePa(RestCurve curve, int readingsInLast)
    {
        if (curve.Count < 3)
        {
            return _graininessPa;
        }

        double sum = 0;
        int first = Math.Max(2, curve.Count / 2); // The later half: settling is over there if anywhere.
        for (int i = first; i < curve.Count; i++)
        {
            double bend = curve.Pascals[i] - (2 * curve.Pascals[i - 1]) + curve.Pascals[i - 2];
            sum += bend * bend;
        }

        return Math.Max(Math.Sqrt(sum / (6.0 * (curve.Count - first))), _graininessPa / Math.Sqrt(readingsInLast));
    }

    /// <summary>
    /// First block from which on the normalised pressure no longer moves beyond its noise and, where the vessel's time constant
    /// is known, what this rest still had to go is gone. Where this rest does not show that by the time constant, the stretch must be long
    /// beside what went before: over a short one the slowest settling seems to stand. -1 when there is none.
    /// </summary>
    private int SettledFrom(RestCurve curve, double noisePa, ThermalTime? time, SettlingFit? settling)
    {
        double settledPa = SettledShare * curve.Pascals[^1];
        double earliest = 0;
        if (time is { } constant && settling is { } fit && Math.Abs(fit.StartPa) > Math.Max(settledPa, 2 * fit.StartUncertaintyPa))
        {
            earliest = constant.Seconds * Math.Log(Math.Abs(fit.StartPa) / settledPa);
        }

        // No settling explains so little gas: an empty vessel does not wait for a longer rest.
        bool gone = curve.Pascals[^1] < GoneShare * _vessel.LowerLimit.ToAbsolute(_vessel.Ambient).Pascals;
        int fewestBlocks = Math.Min(FewestReadings, curve.Count);
        for (int from = 0; from <= curve.Count - fewestBlocks; from++)
        {
            (double movementPa, double uncertaintyPa) = curve.Movement(from, curve.Count - 1, noisePa);
            double shortest = settling is null && !gone ? Math.Max(ShortestStillnessS, StillnessShare * curve.Seconds[from]) : 0;
            if (curve.Seconds[from] >= earliest
                && curve.Seconds[^1] - curve.Seconds[from] >= shortest
                && Math.Abs(movementPa) <= settledPa + (2 * uncertaintyPa))
            {
                return from;
            }
        }

        return -1;
    }

    private static double BlockScatterPa(RestCurve curve, int from, double meanPa)
    {
        int count = curve.Count - from;
        if (count < 2)
        {
            return 0;
        }

        double sum = 0;
        for (int i = from; i < curve.Count; i++)
        {
            double off = curve.Pascals[i] - meanPa;
            sum += off * off;
        }

        return Math.Sqrt(sum / (count - 1));
    }

    private static double IsochoreSlope(RestCurve curve, int from)
    {
        int count = curve.Count - from;
        double low = double.PositiveInfinity, high = double.NegativeInfinity, meanPa = 0;
        for (int i = from; i < curve.Count; i++)
        {
            low = Math.Min(low, curve.Kelvins[i]);
            high = Math.Max(high, curve.Kelvins[i]);
            meanPa += curve.Pascals[i] / count;
        }

        if (count < 4 || high - low < IsochoreProofSpanK)
        {
            return double.NaN;
        }

        double meanK = MeanKelvins(curve, from), products = 0;
        for (int i = from; i < curve.Count; i++)
        {
            products += (curve.Kelvins[i] - meanK) * (curve.Pascals[i] - meanPa);
        }

        return products / TemperatureSquares(curve, from);
    }

    private static double TemperatureSquares(RestCurve curve, int from)
    {
        double meanK = MeanKelvins(curve, from), squares = 0;
        for (int i = from; i < curve.Count; i++)
        {
            squares += (curve.Kelvins[i] - meanK) * (curve.Kelvins[i] - meanK);
        }

        return squares;
    }

    private static double MeanKelvins(RestCurve curve, int from)
    {
        double mean = 0;
        for (int i = from; i < curve.Count; i++)
        {
            mean += curve.Kelvins[i] / (curve.Count - from);
        }

        return mean;
    }
}
