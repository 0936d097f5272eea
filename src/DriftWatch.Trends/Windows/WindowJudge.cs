using DriftWatch.Gas.Nitrogen;
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

    /// <summary>
    /// Standard uncertainty of the difference between the sensor's and the gas's mean temperature that differs from
    /// window to window (placement, unequal shell), K. Common practice for a shell or gas-valve mounted sensor.
    /// </summary>
    private const double PlacementUncertaintyK = 0.15;

    /// <summary>Standard uncertainty of the air pressure against the registered one, Pa: weather. From memory of ICAO deviations at mid latitudes.</summary>
    private const double WeatherUncertaintyPa = 900;

    /// <summary>Standard uncertainty of the equation of state in pressure, relative: 0.02 % at k = 2 stated by its authors for density.</summary>
    private const double EquationRelativeUncertainty = 0.0001;

    /// <summary>Temperature must move by this much before the isochore is put to the proof, K.</summary>
    private const double IsochoreProofSpanK = 1.0;

    /// <summary>The proof fails when more than this share of the gas's own dependence on temperature is left over.</summary>
    private const double IsochoreProofShare = 0.5;

    /// <summary>After this time a gas that only comes to its temperature has done so.</summary>
    private static readonly TimeSpan ThermalSettling = TimeSpan.FromHours(1);

    /// <summary>A plateau that sinks by more than this share later on still had fluid in it; no leak loses as much in one rest.</summary>
    private const double SinkShare = 0.01;

    private readonly VesselSpecification _vessel;
    private readonly double _graininessPa;
    private readonly double _weatherPa;

    public WindowJudge(VesselSpecification vessel)
    {
        _vessel = vessel;
        _weatherPa = vessel.GasPressureSensor.Kind == PressureKind.Gauge ? WeatherUncertaintyPa : 0;

        // A sensor resolves some 1/4000 of its span (12 bit); a rectangle of that width has this standard deviation.
        _graininessPa = (vessel.GasPressureSensor.RangeHighPa - vessel.GasPressureSensor.RangeLowPa) / 4000 / Math.Sqrt(12);
    }

    /// <summary>The window a run shows, accepted as far as its own readings go; null when it is too short to say anything.</summary>
    public PrechargeWindow? Judge(RestRun run)
    {
        IReadOnlyList<RestBlock> blocks = run.Blocks;
        if (blocks.Sum(block => block.Count) < FewestReadings
            || (run.Evidence == WindowEvidence.RestingPlateau && blocks[^1].Last - blocks[0].First < ShortestPlateau))
        {
            return null;
        }

        double noisePa = BlockNoisePa(blocks);
        int settledFrom = SettledFrom(blocks, noisePa);
        if (settledFrom < 0)
        {
            return run.Evidence == WindowEvidence.RestingPlateau && blocks.Count < 2 * FewestReadings
                ? null
                : Describe(run, 0, noisePa) with
                {
                    Standing = WindowStanding.Rejected,
                    Reason = "The gas had not settled by the end of the rest.",
                };
        }

        PrechargeWindow window = Describe(run, settledFrom, noisePa);
        double ownSlope = window.MeanPressurePa / window.MeanTemperatureK;
        double slopeUncertainty = noisePa / Math.Sqrt(TemperatureSquares(run.Blocks, settledFrom));
        return Math.Abs(window.IsochoreSlopePaPerK) - (3 * slopeUncertainty) > IsochoreProofShare * ownSlope
            ? window with
            {
                Standing = WindowStanding.Rejected,
                Reason = FormattableString.Invariant(
                    $"Pressure and temperature do not move along one line of constant density: {window.IsochoreSlopePaPerK / 1e5:0.00} bar/K are left over. Check the temperature sensor."),
            }
            : window;
    }

    /// <summary>
    /// Whether a plateau of the gas side alone sank long after its temperature had settled: fluid that seeps out. Towards the
    /// end such a plateau lies so little above the precharge that its own readings no longer tell it.
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

    private PrechargeWindow Describe(RestRun run, int from, double noisePa)
    {
        int blocks = run.Blocks.Count - from;
        RestBlock sum = run.Blocks[from];
        for (int i = from + 1; i < run.Blocks.Count; i++)
        {
            sum = sum.Join(run.Blocks[i]);
        }

        double prechargePa = sum.MeanPrechargePa;
        double scale = prechargePa / sum.MeanPressurePa;
        double perKelvin = SensitivityPaPerK(sum.MeanPressurePa, sum.MeanTemperatureK);
        double scatterPa = BlockScatterPa(run.Blocks, from, prechargePa);

        // Neighbouring blocks share what moves slowly, so the mean of many is trusted as a mean of a quarter of them.
        double meanOfReadings = Math.Max(scatterPa, noisePa) / Math.Sqrt(Math.Max(1.0, blocks / 4.0));
        double random = Root(meanOfReadings, _graininessPa * scale, PlacementUncertaintyK * perKelvin, _weatherPa * scale);
        double shared = Root(
            _vessel.GasPressureSensor.StandardUncertaintyPa * scale,
            _vessel.GasTemperatureSensor.StandardUncertaintyK * perKelvin,
            EquationRelativeUncertainty * prechargePa);
        return new PrechargeWindow
        {
            Start = sum.First,
            End = sum.Last,
            ReadingCount = sum.Count,
            Evidence = run.Evidence,
            MeanPressurePa = sum.MeanPressurePa,
            MeanTemperatureK = sum.MeanTemperatureK,
            PrechargePa = prechargePa,
            RandomUncertaintyPa = random,
            SharedUncertaintyPa = shared,
            IsochoreSlopePaPerK = IsochoreSlope(run.Blocks, from),
            Standing = WindowStanding.Accepted,
            Rest = run.Rest,
        };
    }

    /// <summary>How the pressure at the reference temperature answers to an error of the temperature, Pa/K.</summary>
    private double SensitivityPaPerK(double pressurePa, double temperatureK)
    {
        double referenceK = _vessel.ReferenceTemperature.Kelvins;
        double below = Math.Max(temperatureK - 0.5, NitrogenRange.LowestTemperatureK);
        double above = Math.Min(temperatureK + 0.5, NitrogenRange.HighestTemperatureK);
        return (IsochoricCorrection.PressureAtReferencePa(pressurePa, below, referenceK)
            - IsochoricCorrection.PressureAtReferencePa(pressurePa, above, referenceK)) / (above - below);
    }

    /// <summary>
    /// Noise of a block from second differences (von Neumann's idea, one order on): blind to movement that goes on evenly,
    /// which first differences would take for noise and so for a settled gas.
    /// </summary>
    private double BlockNoisePa(IReadOnlyList<RestBlock> blocks)
    {
        if (blocks.Count < 3)
        {
            return _graininessPa;
        }

        double sum = 0;
        int first = Math.Max(2, blocks.Count / 2); // The later half: settling is over there if anywhere.
        for (int i = first; i < blocks.Count; i++)
        {
            double bend = blocks[i].MeanPrechargePa - (2 * blocks[i - 1].MeanPrechargePa) + blocks[i - 2].MeanPrechargePa;
            sum += bend * bend;
        }

        return Math.Max(Math.Sqrt(sum / (6.0 * (blocks.Count - first))), _graininessPa / Math.Sqrt(blocks[^1].Count));
    }

    /// <summary>First block from which on the normalised pressure no longer moves beyond its noise; -1 when there is none.</summary>
    private static int SettledFrom(IReadOnlyList<RestBlock> blocks, double noisePa)
    {
        int fewestBlocks = Math.Min(FewestReadings, blocks.Count);
        for (int from = 0; from <= blocks.Count - fewestBlocks; from++)
        {
            (double movementPa, double uncertaintyPa) = Movement(blocks, from, noisePa);
            if (Math.Abs(movementPa) <= (SettledShare * blocks[^1].MeanPrechargePa) + (2 * uncertaintyPa))
            {
                return from;
            }
        }

        return -1;
    }

    /// <summary>Movement over the blocks from one on, by a straight line, and its standard uncertainty, Pa.</summary>
    private static (double MovementPa, double UncertaintyPa) Movement(IReadOnlyList<RestBlock> blocks, int from, double noisePa)
    {
        int count = blocks.Count - from;
        double spanSeconds = (blocks[^1].Middle - blocks[from].Middle).TotalSeconds;
        if (count < 2 || spanSeconds <= 0)
        {
            return (0, noisePa);
        }

        double meanTime = 0, meanValue = 0;
        for (int i = from; i < blocks.Count; i++)
        {
            meanTime += (blocks[i].Middle - blocks[from].Middle).TotalSeconds / count;
            meanValue += blocks[i].MeanPrechargePa / count;
        }

        double squares = 0, products = 0;
        for (int i = from; i < blocks.Count; i++)
        {
            double time = (blocks[i].Middle - blocks[from].Middle).TotalSeconds - meanTime;
            squares += time * time;
            products += time * (blocks[i].MeanPrechargePa - meanValue);
        }

        return (products / squares * spanSeconds, noisePa / Math.Sqrt(squares) * spanSeconds);
    }

    private static double BlockScatterPa(IReadOnlyList<RestBlock> blocks, int from, double meanPa)
    {
        int count = blocks.Count - from;
        if (count < 2)
        {
            return 0;
        }

        double sum = 0;
        for (int i = from; i < blocks.Count; i++)
        {
            double off = blocks[i].MeanPrechargePa - meanPa;
            sum += off * off;
        }

        return Math.Sqrt(sum / (count - 1));
    }

    private static double IsochoreSlope(IReadOnlyList<RestBlock> blocks, int from)
    {
        int count = blocks.Count - from;
        double low = double.PositiveInfinity, high = double.NegativeInfinity, meanPa = 0;
        for (int i = from; i < blocks.Count; i++)
        {
            double kelvins = blocks[i].MeanTemperatureK;
            low = Math.Min(low, kelvins);
            high = Math.Max(high, kelvins);
            meanPa += blocks[i].MeanPrechargePa / count;
        }

        if (count < 4 || high - low < IsochoreProofSpanK)
        {
            return double.NaN;
        }

        double meanK = MeanTemperatureK(blocks, from), products = 0;
        for (int i = from; i < blocks.Count; i++)
        {
            products += (blocks[i].MeanTemperatureK - meanK) * (blocks[i].MeanPrechargePa - meanPa);
        }

        return products / TemperatureSquares(blocks, from);
    }

    private static double TemperatureSquares(IReadOnlyList<RestBlock> blocks, int from)
    {
        double meanK = MeanTemperatureK(blocks, from), squares = 0;
        for (int i = from; i < blocks.Count; i++)
        {
            double kelvins = blocks[i].MeanTemperatureK - meanK;
            squares += kelvins * kelvins;
        }

        return squares;
    }

    private static double MeanTemperatureK(IReadOnlyList<RestBlock> blocks, int from)
    {
        double mean = 0;
        for (int i = from; i < blocks.Count; i++)
        {
            mean += blocks[i].MeanTemperatureK / (blocks.Count - from);
        }

        return mean;
    }

    private static double Root(params ReadOnlySpan<double> parts)
    {
        double sum = 0;
        foreach (double part in parts)
        {
            sum += part * part;
        }

        return Math.Sqrt(sum);
    }
}
