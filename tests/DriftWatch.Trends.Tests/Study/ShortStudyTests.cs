using DriftWatch.Study;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Tests.Study;

/// <summary>
/// The study of docs/study.md in short, with the same dice every time. Tolerances are four binomial standard errors of the number of
/// trials, beside the limits that the study promises.
/// </summary>
public class ShortStudyTests(ITestOutputHelper output)
{
    [Theory]
    [InlineData(2, 2000)]
    [InlineData(3, 2000)]
    [InlineData(10, 2000)]
    [InlineData(100, 800)]
    [InlineData(300, 400)]
    public void The_interval_of_the_slope_covers_94_to_96_percent(int points, int trials)
    {
        LineFigures figures = LineStudy.Run(points, trials, World.AsStated);
        output.WriteLine(figures.ToString());
        Assert.InRange(figures.Coverage, 0.94 - Error(0.94, trials), 0.96 + Error(0.96, trials));
    }

    [Theory]
    [InlineData(10, 0, 1.1)]
    [InlineData(100, 0, 1.1)]
    [InlineData(300, 0, 1.1)]
    [InlineData(30, 0.05, 1.25)]
    [InlineData(300, 0.05, 1.25)]
    public void The_slope_errs_little_more_than_it_must(int points, double outlierShare, double most)
    {
        const int trials = 600;
        LineFigures figures = LineStudy.Run(points, trials, new World(OutlierShare: outlierShare));
        output.WriteLine(figures.ToString());
        double sampling = 4 / Math.Sqrt(2.0 * trials);
        Assert.InRange(figures.ErrorOverBound, 1 - sampling, most + sampling);
    }

    [Fact]
    public void A_life_at_the_allowed_rate_is_called_no_more_often_than_stated()
    {
        const int lives = 40;
        const double alpha = 0.1;
        foreach (World world in new[] { World.Right, World.Outliers })
        {
            LifeFigures figures = LifeStudy.Run(lives, 130, 28, alpha, world);
            output.WriteLine(figures.ToString());
            Assert.InRange(figures.Called, 0, lives * (alpha + Error(alpha, lives)));
        }
    }

    /// <summary>Through segments and the detector of sudden losses as well, with charges, and where windows lie far apart.</summary>
    [Theory]
    [InlineData(7, 40, WindowEvidence.FluidPressure)]
    [InlineData(14, 60, WindowEvidence.FluidPressure)]
    [InlineData(30, 80, WindowEvidence.FluidPressure)]
    [InlineData(14, 60, WindowEvidence.RestingPlateau)]
    public void A_whole_life_at_the_allowed_rate_is_called_no_more_often_than_stated(int spacingDays, int lives, WindowEvidence evidence)
    {
        const double alpha = 0.05;
        WholeLifeFigures figures = WholeLifeStudy.Run(lives, 3652, spacingDays, 60, 1, 15, evidence, alpha, World.Right);
        output.WriteLine(figures.ToString());
        Assert.InRange(figures.Called, 0, lives * (alpha + Error(alpha, lives)));
    }

    [Theory]
    [InlineData(7, 2, WindowEvidence.FluidPressure, 200)]
    [InlineData(30, 2, WindowEvidence.FluidPressure, 400)]
    [InlineData(30, 5, WindowEvidence.FluidPressure, 250)]
    [InlineData(14, 5, WindowEvidence.RestingPlateau, 200)]
    public void A_leak_is_called_where_windows_lie_far_apart(int spacingDays, double rate, WindowEvidence evidence, double meanDays)
    {
        WholeLifeFigures figures = WholeLifeStudy.Run(20, 1461, spacingDays, 0, rate, 35, evidence, 0.01, World.Right);
        output.WriteLine(figures.ToString());
        Assert.Equal(figures.Lives, figures.Called);
        Assert.InRange(figures.MeanDays, 0, meanDays);
    }

    /// <summary>The test that knows all is the yardstick: to be faster would mean that alpha is not kept, five times its time would be idle.</summary>
    [Theory]
    [InlineData(0, 2)]
    [InlineData(200, 5)]
    public void A_leak_is_called_within_a_few_times_of_the_best_test(int tightDays, double rate)
    {
        DelayFigures figures = DelayStudy.Run(20, tightDays, rate, 0.01);
        output.WriteLine(figures.ToString());
        Assert.InRange(figures.OurDays / figures.BestDays, 1, 5);
    }

    [Theory]
    [InlineData(3, false)]
    [InlineData(30, false)]
    [InlineData(30, true)]
    public void The_interval_of_the_crossing_date_holds_it(int points, bool firstOrder)
    {
        const int trials = 800;
        CrossingFigures figures = CrossingStudy.Run(points, 700, 0.3, firstOrder, trials);
        output.WriteLine(figures.ToString());
        Assert.InRange(figures.Coverage, 0.94 - Error(0.94, trials), 1);
        Assert.True(firstOrder || figures.Curves <= 0.01 + Error(0.01, trials));
    }

    /// <summary>The least a run of three can take is 3.</summary>
    [Theory]
    [InlineData(6, 6)]
    [InlineData(20, 3)]
    public void A_step_is_called_within_few_windows(double stepOverUncertainty, double most)
    {
        double windows = StepStudy.WindowsToCall(200, stepOverUncertainty, World.Right);
        output.WriteLine($"{windows}");
        Assert.InRange(windows, 3, most);
    }

    /// <summary>Stated: at most one life of 3650 windows in fifty, with one point in twenty grossly off too.</summary>
    [Theory]
    [InlineData(0)]
    [InlineData(0.05)]
    public void A_life_without_a_step_is_not_cut(double outlierShare)
    {
        const int lives = 40;
        int cut = StepStudy.FalselyCut(lives, 3650, new World(OutlierShare: outlierShare));
        output.WriteLine($"{cut} of {lives}");
        Assert.InRange(cut, 0, lives * (0.02 + Error(0.02, lives)));
    }

    [Fact]
    public void Fluid_shut_in_is_never_taken_for_the_precharge()
    {
        TrappedFigures figures = TrappedStudy.Run(1, 0.3);
        output.WriteLine(figures.ToString());
        Assert.True(figures.Episodes > 50 && figures.Points > 100);
        Assert.Equal(0, figures.Taken);
    }

    private static double Error(double share, int trials) => 4 * Math.Sqrt(share * (1 - share) / trials);
}
