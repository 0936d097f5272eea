using DriftWatch.SamplePlant;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Study;

/// <summary>Makes the points of one trial, each with its stated uncertainty and its own error.</summary>
public sealed class PointMaker
{
    /// <summary>Stated random standard uncertainty of a point, Pa.</summary>
    public const double UncertaintyPa = 30_000;

    /// <summary>First instant.</summary>
    public static readonly DateTimeOffset Start = new(2026, 1, 5, 0, 0, 0, TimeSpan.Zero);

    private readonly World _world;
    private readonly Dice _dice;
    private readonly double _deviationPa;
    private double _carried;

    /// <summary>A maker for one trial.</summary>
    public PointMaker(World world, Dice dice)
    {
        _world = world;
        _dice = dice;
        double drawn = 1;
        if (double.IsFinite(world.BudgetFreedom))
        {
            double squares = 0;
            for (int i = 0; i < world.BudgetFreedom; i++)
            {
                squares += Square(dice.Normal());
            }

            drawn = Math.Sqrt(world.BudgetFreedom / squares);
        }

        _deviationPa = UncertaintyPa * world.TrueOverBudget * drawn;
        _carried = dice.Normal();
    }

    /// <summary>The point at a day, whose true precharge is given.</summary>
    public PrechargeWindow At(double day, double truePa, double sharedUncertaintyPa = 0)
    {
        double fresh = _dice.Normal();
        _carried = (_world.Correlation * _carried) + (Math.Sqrt(1 - Square(_world.Correlation)) * fresh);
        double error = _deviationPa * _carried;
        if (_world.OutlierShare > 0 && _dice.Uniform() < _world.OutlierShare)
        {
            error += (_dice.Uniform() < 0.5 ? 1 : -1) * _world.OutlierSize * UncertaintyPa;
        }

        DateTimeOffset instant = Start.AddDays(day);
        return new PrechargeWindow
        {
            Start = instant,
            End = instant,
            ReadingCount = 30,
            Evidence = WindowEvidence.FluidPressure,
            MeanPressurePa = truePa,
            MeanTemperatureK = 293.15,
            PrechargePa = truePa + error,
            RandomUncertaintyPa = UncertaintyPa,
            SharedUncertaintyPa = sharedUncertaintyPa,
            IsochoreSlopePaPerK = double.NaN,
            Rest = (long)Math.Round(day * 100),
            Standing = WindowStanding.Accepted,
        };
    }

    private static double Square(double value) => value * value;
}
