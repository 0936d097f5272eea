using DriftWatch.Charts.Content;
using DriftWatch.Charts.Drawing;
using ScottPlot;

namespace DriftWatch.Charts.Tests;

public sealed class LineClipTests
{
    private static readonly AxisSpan Heights = new(0, 10);

    [Fact]
    public void A_line_inside_stays_as_it_is() => Assert.Equal([[At(0, 0), At(1, 5), At(2, 10)]], Cut(At(0, 0), At(1, 5), At(2, 10)));

    [Fact]
    public void A_line_outside_goes() => Assert.Empty(Cut(At(0, 11), At(1, 20), At(2, 11)));

    [Fact]
    public void A_line_is_cut_where_it_leaves_and_where_it_comes_back() =>
        Assert.Equal([[At(0, 5), At(0.5, 10)], [At(1.5, 10), At(2, 5)]], Cut(At(0, 5), At(1, 15), At(2, 5)));

    [Fact]
    public void A_line_right_through_keeps_what_lies_between() => Assert.Equal([[At(0.4, 0), At(0.6, 10)]], Cut(At(0, -20), At(1, 30)));

    [Fact]
    public void A_point_alone_is_no_line() => Assert.Empty(Cut(At(0, 5)));

    private static IReadOnlyList<Coordinates[]> Cut(params Coordinates[] line) => LineClip.Within(Heights, line);

    private static Coordinates At(double x, double y) => new(x, y);
}
