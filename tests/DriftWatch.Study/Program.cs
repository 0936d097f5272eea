using System.Diagnostics;
using System.Globalization;
using DriftWatch.Study;
using DriftWatch.Trends.Windows;

// Run in the root of the repository: prints the figures of docs/study.md and writes them and the pictures there. Names of parts as
// arguments run these alone.
CultureInfo.CurrentCulture = CultureInfo.InvariantCulture;
string root = Environment.CurrentDirectory;
string document = Path.Combine(root, "docs", "study.md");
if (!File.Exists(document))
{
    Console.Error.WriteLine($"No {document}: run in the root of the repository.");
    return 1;
}

string pictures = Directory.CreateDirectory(Path.Combine(root, "docs", "pictures")).FullName;
var clock = Stopwatch.StartNew();
var page = new StudyPage(document);
bool Wanted(string part) => args.Length == 0 || args.Contains(part);

int[] counts = [3, 5, 10, 30, 100, 300];
int[] lineCounts = [3, 4, 5, 6, 8, 10, 30, 100, 300];
static int TrialsFor(int points) => points >= 300 ? 4000 : 10_000;
LineFigures[] Lines(World world, IEnumerable<int> points) => [.. points.Select(n => LineStudy.Run(n, TrialsFor(n), world))];
if (Wanted("lines"))
{
    LineFigures[] right = Lines(World.Right, lineCounts);
    LineFigures[] outliers = Lines(World.Outliers, lineCounts.Where(n => n >= 4));
    page.Table(
        "error",
        ["points", "clean", "5 % of the points off by 10 deviations"],
        right.Select(line => (string[])[$"{line.Points}", $"{line.ErrorOverBound:0.000}", Of(outliers, line.Points, o => $"{o.ErrorOverBound:0.000}")]));
    Pictures.OverPoints(
        Path.Combine(pictures, "study-error.png"), "Error of the slope over the Cramer-Rao bound", "ratio", 0.9, 2.3, [1, 1.1, 1.25],
        ("clean", Curve(right, line => line.ErrorOverBound)), ("5 % outliers", Curve(outliers, line => line.ErrorOverBound)));

    LineFigures[] stated = Lines(World.AsStated, lineCounts.Prepend(2));
    LineFigures[] twice = Lines(new World(TrueOverBudget: 2), lineCounts);
    LineFigures[] third = Lines(new World(TrueOverBudget: 0.3), lineCounts);
    LineFigures[] correlated = Lines(new World(Correlation: 0.3), lineCounts.Where(n => n >= 4));
    page.Table(
        "coverage",
        ["points", "budget as uncertain as stated", "exactly right", "5 % outliers", "scatter twice the budget", "scatter 0.3 of the budget", "neighbours correlated 0.3"],
        stated.Select(line => (string[])
        [
            $"{line.Points}", Percent(line.Coverage), Of(right, line.Points, o => Percent(o.Coverage)), Of(outliers, line.Points, o => Percent(o.Coverage)),
            Of(twice, line.Points, o => Percent(o.Coverage)), Of(third, line.Points, o => Percent(o.Coverage)), Of(correlated, line.Points, o => Percent(o.Coverage)),
        ]));
    Pictures.OverPoints(
        Path.Combine(pictures, "study-coverage.png"), "Coverage of the 95 % interval of the slope", "share", 0.84, 1.02, [0.94, 0.96],
        ("budget as uncertain as stated", Curve(stated, line => line.Coverage)), ("budget exactly right", Curve(right, line => line.Coverage)),
        ("scatter twice the budget", Curve(twice, line => line.Coverage)), ("neighbours correlated 0.3", Curve(correlated, line => line.Coverage)));
}

if (Wanted("crossing"))
{
    const int crossings = 6000;
    page.Table(
        "crossing",
        ["points", "even loss, 8 %", "even loss, 30 %", "curve taken falsely", "first-order loss, 30 %", "curve taken"],
        counts.Select(n =>
        {
            CrossingFigures slow = CrossingStudy.Run(n, 365, 0.08, false, crossings / 2);
            CrossingFigures even = CrossingStudy.Run(n, 700, 0.3, false, crossings / 2);
            CrossingFigures first = CrossingStudy.Run(n, 700, 0.3, true, crossings / 4);
            return (string[])[$"{n}", Percent(slow.Coverage), Percent(even.Coverage), Percent(even.Curves), n < 12 ? "" : Percent(first.Coverage), Percent(first.Curves)];
        }));
}

if (Wanted("delay"))
{
    (int TightDays, double Rate)[] leaks = [(0, 1.5), (0, 2), (0, 5), (365, 1.5), (365, 2), (365, 5)];
    DelayFigures[] delays = [.. leaks.Select(leak => DelayStudy.Run(200, leak.TightDays, leak.Rate, 0.01))];
    page.Table(
        "delay",
        ["tight days before", "loss over the allowed", "verdict", "test that knows all", "ratio"],
        leaks.Select((leak, i) => (string[])
            [$"{leak.TightDays}", $"{leak.Rate}", $"{delays[i].OurDays:0.0}", $"{delays[i].BestDays:0.0}", $"{delays[i].OurDays / delays[i].BestDays:0.0}"]));
    Pictures.Bars(
        Path.Combine(pictures, "study-delay.png"), "Days from the beginning of a leak to the call", "days",
        [.. leaks.Select(leak => $"{leak.Rate} x, {leak.TightDays} tight days")],
        [("verdict", [.. delays.Select(delay => delay.OurDays)]), ("test that knows all", [.. delays.Select(delay => delay.BestDays)])]);
}

if (Wanted("step"))
{
    page.Table(
        "step",
        ["case", "figure"],
        [
            ["lives of 3650 windows cut falsely, clean", $"{StepStudy.FalselyCut(200, 3650, World.Right)} of 200"],
            ["the same, 5 % outliers", $"{StepStudy.FalselyCut(200, 3650, World.Outliers)} of 200"],
            ["the same, 5 % outliers of 30 deviations", $"{StepStudy.FalselyCut(200, 3650, World.Outliers with { OutlierSize = 30 })} of 200"],
            ["the same, scatter twice the budget", $"{StepStudy.FalselyCut(200, 3650, new World(TrueOverBudget: 2))} of 200"],
            ["the same, neighbours correlated 0.3", $"{StepStudy.FalselyCut(200, 3650, new World(Correlation: 0.3))} of 200"],
            ["windows to the call, step of 6 deviations", Calls(6, World.Right)],
            ["windows to the call, step of 8 deviations", Calls(8, World.Right)],
            ["windows to the call, step of 10 deviations", Calls(10, World.Right)],
            ["windows to the call, step of 20 deviations", Calls(20, World.Right)],
            ["windows to the call, step of 10 deviations, 5 % outliers", Calls(10, World.Outliers)],
            ["windows to the call, nine tenths of the gas gone", Calls(300, World.Right)],
        ]);
}

if (Wanted("trapped"))
{
    TrappedFigures trapped = TrappedStudy.Run(84, 0.3);
    page.Table(
        "trapped",
        ["episodes", "taken for the precharge", "points"],
        [[$"{trapped.Episodes}", $"{trapped.Taken}", $"{trapped.Points}"]]);
}

if (Wanted("life"))
{
    const int lives = 400, weeks = 522;
    page.Table(
        "life",
        ["errors", "alpha", "lives", "ever called", "loss rate ever said to have changed"],
        new (string Name, double Alpha, World World)[]
        {
            ("clean", 0.01, World.Right), ("clean", 0.1, World.Right), ("5 % outliers", 0.01, World.Outliers),
            ("scatter twice the budget", 0.01, new World(TrueOverBudget: 2)), ("neighbours correlated 0.3", 0.01, new World(Correlation: 0.3)),
        }.Select(life =>
        {
            LifeFigures figures = LifeStudy.Run(lives, weeks, 7, life.Alpha, life.World);
            return (string[])[life.Name, $"{life.Alpha:P0}", $"{figures.Lives}", $"{figures.Called}", $"{figures.Changed}"];
        }));
}

if (Wanted("whole"))
{
    const int decade = 3652;
    (int Spacing, int Lives)[] spacings = [(1, 20), (7, 200), (14, 400), (30, 400)];
    page.Table(
        "whole",
        ["days between windows", "lives", "at the allowed loss, clean", "it begins after tight months", "5 % outliers", "gas side alone", "neighbours correlated 0.3"],
        spacings.Select(one =>
        {
            string Calls(double tightDays, WindowEvidence evidence, World world)
            {
                WholeLifeFigures figures = WholeLifeStudy.Run(one.Lives, decade, one.Spacing, tightDays, 1, 15, evidence, 0.01, world);
                return figures.CalledAtOnce > 0 ? $"{figures.Called} ({figures.CalledAtOnce} as sudden)" : $"{figures.Called}";
            }

            return (string[])
            [
                $"{one.Spacing}", $"{one.Lives}",
                Calls(0, WindowEvidence.FluidPressure, World.Right), Calls(200, WindowEvidence.FluidPressure, World.Right),
                Calls(100, WindowEvidence.FluidPressure, World.Outliers), Calls(100, WindowEvidence.RestingPlateau, World.Right),
                Calls(100, WindowEvidence.FluidPressure, new World(Correlation: 0.3)),
            ];
        }));
    page.Table(
        "leaks",
        ["days between windows", "1.5 x, called, mean days", "2 x", "5 x", "5 x, gas side alone", "5 x, after 200 tight days"],
        spacings.Select(one =>
        {
            string Called(double rate, double tightDays, WindowEvidence evidence)
            {
                WholeLifeFigures figures = WholeLifeStudy.Run(100, 1461, one.Spacing, tightDays, rate, 35, evidence, 0.01, World.Right);
                return $"{figures.Called} of {figures.Lives}, {figures.MeanDays:0}{(figures.CalledAtOnce > 0 ? $" ({figures.CalledAtOnce} as sudden)" : "")}";
            }

            return (string[])
            [
                $"{one.Spacing}", Called(1.5, 0, WindowEvidence.FluidPressure), Called(2, 0, WindowEvidence.FluidPressure), Called(5, 0, WindowEvidence.FluidPressure),
                Called(5, 0, WindowEvidence.RestingPlateau), Called(5, 100, WindowEvidence.FluidPressure),
            ];
        }));
}

Console.WriteLine($"{clock.Elapsed.TotalMinutes:0.0} minutes");
return 0;

static string Calls(double step, World world) => $"{StepStudy.WindowsToCall(1000, step, world):0.00}";

static string Percent(double share) => share.ToString("P1", CultureInfo.InvariantCulture);

static string Of(LineFigures[] lines, int points, Func<LineFigures, string> words) =>
    lines.Any(line => line.Points == points) ? words(lines.First(line => line.Points == points)) : "";

static (int Points, double Value)[] Curve(LineFigures[] lines, Func<LineFigures, double> value) =>
    [.. lines.Select(line => (line.Points, value(line)))];
