using DriftWatch.Charts.Content;
using ScottPlot;

namespace DriftWatch.Charts.Drawing;

/// <summary>
/// Cuts a line where it leaves the picture. The band of a young trend runs far out of it, and the drawing library lays every
/// dash of a line down, those that nobody can see too: megabytes of them.
/// </summary>
internal static class LineClip
{
    /// <summary>The parts of a line whose heights lie within a span, its ends included; in order, each of two points or more.</summary>
    public static IReadOnlyList<Coordinates[]> Within(AxisSpan heights, IReadOnlyList<Coordinates> line)
    {
        List<Coordinates[]> parts = [];
        List<Coordinates> part = [];
        for (var i = 1; i < line.Count; i++)
        {
            if (Cut(line[i - 1], line[i], heights) is not var (from, to))
            {
                continue;
            }

            if (part.Count == 0 || part[^1] != from)
            {
                Close();
                part.Add(from);
            }

            part.Add(to);
        }

        Close();
        return parts;

        void Close()
        {
            if (part.Count > 1)
            {
                parts.Add([.. part]);
            }

            part.Clear();
        }
    }

    private static (Coordinates From, Coordinates To)? Cut(Coordinates from, Coordinates to, AxisSpan heights)
    {
        if (Math.Max(from.Y, to.Y) < heights.Low || Math.Min(from.Y, to.Y) > heights.High)
        {
            return null;
        }

        return (Held(from, to, heights), Held(to, from, heights));
    }

    /// <summary>A point itself where it lies inside, else where its line to the other enters.</summary>
    private static Coordinates Held(Coordinates point, Coordinates other, AxisSpan heights)
    {
        if (heights.Holds(point.Y))
        {
            return point;
        }

        var edge = point.Y < heights.Low ? heights.Low : heights.High;
        return new Coordinates(point.X + ((other.X - point.X) * (edge - point.Y) / (other.Y - point.Y)), edge);
    }
}
