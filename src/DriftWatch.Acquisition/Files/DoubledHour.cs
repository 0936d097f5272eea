using DriftWatch.Plant.Readings;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Acquisition.Files;

/// <summary>
/// Follows the local times of one series of rows (one vessel, or all vessels of a row) through the hour that comes twice in
/// autumn. Its rows are held back until the series has left it, as only then the order of the rows, the step back within the
/// hour and the rows before and after it tell which pass a row is of.
/// </summary>
internal sealed class DoubledHour(string file, Action<RejectedRow> reject)
{
    /// <summary>Rows held at most (two hours at 10 Hz are 72,000), so that no file can fill the memory.</summary>
    private const int MostHeld = 200_000;

    private readonly List<HeldRow> _held = [];
    private long _ups;
    private long _downs;
    private long? _previous;
    private long? _before;

    /// <summary>A row whose time names one instant: the series has left the hour.</summary>
    public void Leave(DateTimeOffset instant, List<VesselReading> readings)
    {
        Step(instant.UtcTicks);
        Settle(instant.UtcTicks, readings);
        _before = instant.UtcTicks;
    }

    /// <summary>A row of the hour, its readings at the earlier of the two instants.</summary>
    public void Hold(HeldRow row, List<VesselReading> readings)
    {
        if (_held.Count == MostHeld || (_held.Count > 0 && (_held[0].First - row.First).Duration() > row.Overlap))
        {
            // The hour of another year.
            Settle(null, readings);
        }

        Step(row.First.UtcTicks);
        _held.Add(row);
    }

    /// <summary>Nothing more comes.</summary>
    public void End(List<VesselReading> readings) => Settle(null, readings);

    private void Step(long ticks)
    {
        _ups += ticks > _previous ? 1 : 0;
        _downs += ticks < _previous ? 1 : 0;
        _previous = ticks;
    }

    private void Settle(long? after, List<VesselReading> readings)
    {
        if (_held.Count == 0)
        {
            return;
        }

        long? before = _before;
        if (_downs > _ups)
        {
            // The newest row stands first.
            _held.Reverse();
            (before, after) = (after, before);
        }

        (int second, bool tells) = SecondPass(after);

        // Of one row up and one down nobody can tell in which order they stand.
        bool sure = tells && (_ups != _downs || _held.Count == 1);
        if (second == _held.Count)
        {
            (bool isSecond, bool joins) = OnePass(before, after);
            second = isSecond ? 0 : second;
            sure &= joins;
        }

        if (!sure)
        {
            HeldRow first = _held.MinBy(row => row.Line);
            reject(new RejectedRow(
                file,
                first.Line,
                $"from here to line {_held.Max(row => row.Line)} the times name two instants each, as the clock is put back, and the rows around them do not tell for sure which; set the logger to UTC",
                first.Text)
            { Taken = true });
        }

        Give(second, readings);
        _before = _held[^1].First.UtcTicks;
        _held.Clear();
    }

    /// <summary>
    /// Where the second pass begins, and whether that is sure: at the greatest step back, as rows that come twice or late step
    /// back by less. A step of less than half the overlap may be a row out of order, and counts only where the rows after it
    /// join what follows; then it is sure only of a logger whose rows are so far apart. Of such a logger nothing is sure where nothing
    /// follows. The count of rows where there is none.
    /// </summary>
    private (int Second, bool Sure) SecondPass(long? after)
    {
        int second = _held.Count;
        long greatest = -1;
        for (int row = 1; row < _held.Count; row++)
        {
            long back = (_held[row - 1].First - _held[row].First).Ticks;
            if (back > greatest && (back > 0 || (back == 0 && IsAnother(_held[row - 1], _held[row]))))
            {
                greatest = back;
                second = row;
            }
        }

        if (second == _held.Count || greatest * 2 >= _held[second].Overlap.Ticks || (greatest == 0 && _held[0].First == _held[^1].First))
        {
            return (second, true);
        }

        bool farApart = ShortestStep(0) is var step && (step == long.MaxValue || step * 2 >= _held[0].Overlap.Ticks);
        return greatest > 0 && Joins(after - (_held[^1].First + _held[^1].Overlap).UtcTicks, second)
            ? (second, farApart)
            : (_held.Count, after is not null || greatest <= 0 || !farApart);
    }

    /// <summary>Whether a gap is one that the rows from this one on leave between them; a single row joins what is less than the overlap away.</summary>
    private bool Joins(long? gap, int from) =>
        gap >= 0 && gap < (ShortestStep(from) is var step && step == long.MaxValue ? _held[0].Overlap.Ticks : step + (step / 2));

    /// <summary>The shortest step forward between rows, in ticks; the greatest number where there is none.</summary>
    private long ShortestStep(int from)
    {
        long step = long.MaxValue;
        for (int row = from + 1; row < _held.Count; row++)
        {
            long ticks = (_held[row].First - _held[row - 1].First).Ticks;
            step = ticks > 0 ? Math.Min(step, ticks) : step;
        }

        return step;
    }

    /// <summary>
    /// Whether two rows of one local time are of the two passes, as an hourly logger has them, and neither one row twice nor the
    /// signals of one instant in two rows.
    /// </summary>
    private bool IsAnother(HeldRow one, HeldRow next)
    {
        bool shared = false;
        foreach ((string vessel, Reading reading) in next.Readings)
        {
            foreach ((string otherVessel, Reading other) in one.Readings)
            {
                if (vessel == otherVessel && reading.Signal == other.Signal)
                {
                    shared = true;
                    if (reading.Value != other.Value)
                    {
                        return true;
                    }
                }
            }
        }

        return shared && _held.Count == 2 && _before is { } before && (one.First.UtcTicks - before) is var gap && Math.Abs(gap) >= one.Overlap.Ticks;
    }

    /// <summary>Which pass it is where there is one only: that which joins what stands before or after it.</summary>
    private (bool IsSecond, bool Sure) OnePass(long? before, long? after)
    {
        bool joinsBefore = Joins(_held[0].First.UtcTicks - before, 0);
        bool joinsAfter = Joins(after - (_held[^1].First + _held[^1].Overlap).UtcTicks, 0);
        return (joinsAfter && !joinsBefore, joinsAfter != joinsBefore);
    }

    private void Give(int second, List<VesselReading> readings)
    {
        Dictionary<(string Vessel, Signal Signal, DateTimeOffset Instant), (double Value, int Line)> given = [];
        for (int row = 0; row < _held.Count; row++)
        {
            HeldRow held = _held[row];
            foreach ((string vessel, Reading reading) in held.Readings)
            {
                Reading placed = row < second ? reading : reading with { Instant = reading.Instant + held.Overlap };
                if (given.TryAdd((vessel, placed.Signal, placed.Instant), (placed.Value, held.Line))
                    || given[(vessel, placed.Signal, placed.Instant)].Value == placed.Value)
                {
                    readings.Add(new VesselReading(vessel, placed));
                }
                else
                {
                    reject(new RejectedRow(
                        file,
                        held.Line,
                        $"{placed.Signal} of {vessel}: line {given[(vessel, placed.Signal, placed.Instant)].Line} has another value at the same instant, in the hour that comes twice as the clock is put back; set the logger to UTC",
                        held.Text));
                }
            }
        }
    }

    /// <summary>A row of the hour that comes twice.</summary>
    /// <param name="Line">Its line in the file.</param>
    /// <param name="Text">The row as it stands there.</param>
    /// <param name="First">The earlier of the instants that its time names.</param>
    /// <param name="Overlap">How much later the other is.</param>
    /// <param name="Readings">Its readings, at the earlier instant.</param>
    internal readonly record struct HeldRow(int Line, string Text, DateTimeOffset First, TimeSpan Overlap, VesselReading[] Readings);
}
