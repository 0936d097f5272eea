namespace DriftWatch.Acquisition.Door;

/// <summary>
/// The time that a source has told of already, as stretches with a high-water mark each, so that none counts twice: live
/// readings go on at one mark and a backlog at another.
/// </summary>
internal sealed class ToldTime
{
    /// <summary>Stretches kept; beyond them the two nearest become one.</summary>
    private const int MostStretches = 16;

    /// <summary>Most time that one message may go on by its readings: enough for any rate allowed, and no gift to a clock that jumps.</summary>
    private static readonly TimeSpan LongestStep = TimeSpan.FromSeconds(1);

    /// <summary>A longer step leaves a gap, which a backlog may fill later.</summary>
    private static readonly TimeSpan LongestPause = TimeSpan.FromMinutes(1);

    /// <summary>In order of time, apart from each other.</summary>
    private readonly List<(DateTimeOffset Start, DateTimeOffset End)> _stretches = [];

    /// <summary>Takes an instant in.</summary>
    /// <returns>How far it goes beyond what was told, from 0 to 1 s; 0 at the first and at each that lies before all others.</returns>
    public TimeSpan Gain(DateTimeOffset instant)
    {
        int next = _stretches.Count;
        while (next > 0 && _stretches[next - 1].Start > instant)
        {
            next--;
        }

        TimeSpan gain = TimeSpan.Zero;
        if (next > 0)
        {
            (DateTimeOffset start, DateTimeOffset end) = _stretches[next - 1];
            if (instant <= end)
            {
                return TimeSpan.Zero;
            }

            // The distance to the stretch above bounds it too, or going down to it step by step would gain at each.
            gain = Least(instant - end, LongestStep);
            gain = next < _stretches.Count ? Least(gain, _stretches[next].Start - instant) : gain;
            if (instant - end <= LongestPause)
            {
                _stretches[next - 1] = (start, instant);
                return gain;
            }
        }

        _stretches.Insert(next, (instant, instant));
        if (_stretches.Count > MostStretches)
        {
            int nearest = Enumerable.Range(1, _stretches.Count - 1).MinBy(at => _stretches[at].Start - _stretches[at - 1].End);
            _stretches[nearest - 1] = (_stretches[nearest - 1].Start, _stretches[nearest].End);
            _stretches.RemoveAt(nearest);
        }

        return gain;
    }

    private static TimeSpan Least(TimeSpan one, TimeSpan other) => one < other ? one : other;
}
