using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Trend;

/// <summary>
/// The points of one segment, condensed so that a fit costs the same after ten years as after ten months: the newest
/// points one by one, older ones as weighted means of neighbours, gross outliers left out before they are averaged. It is
/// a fold over the points in order, so the same points give the same series bit for bit. Not thread-safe.
/// </summary>
public sealed class TrendSeries
{
    /// <summary>The newest points, kept one by one up to this number.</summary>
    private const int MostRecent = 80;

    /// <summary>Points that settle at once.</summary>
    private const int SettledAtOnce = 16;

    /// <summary>Settled points that stay beside the recent ones, as neighbours to judge them by.</summary>
    private const int Neighbours = 3;

    /// <summary>
    /// Settled entries of one size; at the limit the two oldest are joined and go to those of twice the size. So the means are fine
    /// near the present and coarse long ago, and any stretch up to the present has 64 or more of the size of its oldest, or is kept finer still:
    /// the spread inside one is worth less than 1/64^2 of its slope.
    /// </summary>
    private const int MostOfOneSize = 128;

    /// <summary>A candidate for a change of the loss rate comes with every so many points.</summary>
    private const int PointsPerCandidate = 8;

    /// <summary>Candidates kept: their ages then grow by less than twofold from one to the next, over more points than a life holds.</summary>
    private const int MostCandidates = 14;

    /// <summary>A point this many scales off what its neighbours lead to expect is a gross outlier.</summary>
    private const double OutlierScales = 6;

    private readonly List<TrendEntry> _recent = new(MostRecent);
    private readonly List<List<TrendEntry>> _settled = [];
    private readonly List<OnsetCandidate> _candidates = new(MostCandidates);
    private int _lead;
    private int _nextCandidate = 1;
    private int _settledCount;
    private LineSums _settledSums;

    /// <summary>The points taken in.</summary>
    public int Count { get; private set; }

    /// <summary>The first point's middle, UTC; meaningless while there is none.</summary>
    public DateTimeOffset First { get; private set; }

    /// <summary>The last point's middle, UTC; meaningless while there is none.</summary>
    public DateTimeOffset Last { get; private set; }

    /// <summary>Greatest shared uncertainty of the points, Pa.</summary>
    public double SharedUncertaintyPa { get; private set; }

    /// <summary>Candidates for a change of the loss rate, oldest first.</summary>
    internal IReadOnlyList<OnsetCandidate> Candidates => _candidates;

    /// <summary>The series of some points in order of time.</summary>
    public static TrendSeries Of(IEnumerable<PrechargeWindow> points)
    {
        var series = new TrendSeries();
        foreach (PrechargeWindow point in points)
        {
            series.Add(point);
        }

        return series;
    }

    /// <summary>Takes a point in; not before the last one.</summary>
    public void Add(PrechargeWindow point)
    {
        if (Count == 0)
        {
            First = point.Middle;
        }

        Last = point.Middle;
        SharedUncertaintyPa = Math.Max(SharedUncertaintyPa, point.SharedUncertaintyPa);
        double seconds = (point.Middle - First).TotalSeconds;
        if (Count > 0 && Count % PointsPerCandidate == 0)
        {
            AddCandidate(seconds);
        }

        _recent.Add(new TrendEntry(seconds, point.PrechargePa, 1 / (point.RandomUncertaintyPa * point.RandomUncertaintyPa), 1));
        Count++;
        if (_recent.Count == MostRecent)
        {
            Settle();
        }
    }

    /// <summary>Forgets all points.</summary>
    public void Clear()
    {
        _recent.Clear();
        _settled.Clear();
        _candidates.Clear();
        _settledSums = default;
        (_lead, _nextCandidate, _settledCount, Count, SharedUncertaintyPa) = (0, 1, 0, 0, 0);
    }

    /// <summary>Sums over all points, gross outliers left out.</summary>
    internal LineSums Sums(bool[] gross)
    {
        LineSums sums = _settledSums;
        for (int i = _lead; i < _recent.Count; i++)
        {
            if (!gross[i])
            {
                sums.Add(_recent[i]);
            }
        }

        return sums;
    }

    /// <summary>Sums over the points before a candidate and from it on, gross outliers left out.</summary>
    internal (LineSums Before, LineSums Since) Sums(OnsetCandidate candidate, bool[] gross)
    {
        LineSums before = candidate.Before, since = candidate.Since;
        for (int i = _lead; i < _recent.Count; i++)
        {
            if (gross[i])
            {
                continue;
            }

            if (_settledCount + i - _lead < candidate.FirstPoint)
            {
                before.Add(_recent[i]);
            }
            else
            {
                since.Add(_recent[i]);
            }
        }

        return (before, since);
    }

    /// <summary>
    /// What a line is to be fitted to between two instants. Up to <see cref="MostRecent"/> points they are the points themselves;
    /// beyond, all entries stand for the same number of points, that of the oldest, so that what moves slowly shows in all alike.
    /// </summary>
    internal List<TrendEntry> Entries(double fromSeconds, double beforeSeconds, bool[] gross)
    {
        List<TrendEntry> entries = [];
        int size = 1;
        for (int level = _settled.Count - 1; level >= 0; level--)
        {
            foreach (TrendEntry entry in _settled[level])
            {
                if (!(entry.Seconds >= fromSeconds && entry.Seconds < beforeSeconds && entry.Weight > 0))
                {
                    continue;
                }

                if (entries.Count == 0)
                {
                    size = 1 << level;
                }

                FillUp(entries, size, entry);
            }
        }

        for (int i = _lead; i < _recent.Count; i++)
        {
            TrendEntry point = _recent[i];
            if (point.Seconds < fromSeconds || point.Seconds >= beforeSeconds || (gross[i] && _settledCount > 0))
            {
                continue;
            }

            FillUp(entries, size, point);
        }

        return entries;
    }

    /// <summary>Joins an entry to the last one while that is short of points, else puts it behind.</summary>
    private static void FillUp(List<TrendEntry> entries, int size, TrendEntry entry)
    {
        if (entries.Count > 0 && entries[^1].Count < size)
        {
            entries[^1] = entries[^1].Join(entry);
        }
        else
        {
            entries.Add(entry);
        }
    }

    /// <summary>
    /// Which of the recent points stand alone: off what the neighbours on both sides lead to expect. A bend or a step of the
    /// trend is shared by the neighbours on one side and is none. The newest points have no neighbours after them and are kept.
    /// </summary>
    internal bool[] Gross()
    {
        int count = _recent.Count;
        bool[] gross = new bool[count];
        int judged = count - Neighbours;
        if (judged <= Neighbours)
        {
            return gross;
        }

        Span<double> off = stackalloc double[MostRecent];
        Span<double> magnitudes = stackalloc double[MostRecent];
        for (int i = 0; i < judged; i++)
        {
            off[i] = OffNeighbours(i) * Math.Sqrt(_recent[i].Weight);
            magnitudes[i] = Math.Abs(off[i]);
        }

        double scale = TrendFitter.Pooled(Medians.ConsistentDeviation * Medians.Of(magnitudes[..judged]), judged);
        for (int i = _lead; i < judged; i++)
        {
            gross[i] = Math.Abs(off[i]) > OutlierScales * scale;
        }

        return gross;
    }

    private double OffNeighbours(int i)
    {
        int first = Math.Max(0, i - Neighbours), end = first + (2 * Neighbours) + 1;
        Span<double> slopes = stackalloc double[Neighbours * ((2 * Neighbours) - 1)];
        Span<double> expected = stackalloc double[2 * Neighbours];
        int count = 0;
        for (int j = first; j < end; j++)
        {
            for (int k = j + 1; k < end; k++)
            {
                if (j != i && k != i && _recent[k].Seconds > _recent[j].Seconds)
                {
                    slopes[count++] = (_recent[k].ValuePa - _recent[j].ValuePa) / (_recent[k].Seconds - _recent[j].Seconds);
                }
            }
        }

        double slope = count == 0 ? 0 : Medians.Of(slopes[..count]);
        count = 0;
        for (int j = first; j < end; j++)
        {
            if (j != i)
            {
                expected[count++] = _recent[j].ValuePa + (slope * (_recent[i].Seconds - _recent[j].Seconds));
            }
        }

        return _recent[i].ValuePa - Medians.Of(expected);
    }

    private void AddCandidate(double seconds)
    {
        if (_candidates.Count == MostCandidates)
        {
            // The one whose neighbours in age lie closest together is missed least.
            int least = 1;
            for (int i = 2; i < _candidates.Count - 1; i++)
            {
                least = AgeRatio(i) < AgeRatio(least) ? i : least;
            }

            _candidates.RemoveAt(least);
        }

        _candidates.Add(new OnsetCandidate(_nextCandidate++, Count, seconds, _settledSums));
    }

    private double AgeRatio(int i) =>
        (Count - _candidates[i - 1].FirstPoint + 1.0) / (Count - _candidates[i + 1].FirstPoint + 1.0);

    private void Settle()
    {
        bool[] gross = Gross();
        int end = _lead + SettledAtOnce;
        for (int i = _lead; i < end; i++)
        {
            TrendEntry point = gross[i] ? _recent[i] with { Weight = 0 } : _recent[i];
            foreach (OnsetCandidate candidate in _candidates)
            {
                candidate.Settle(_settledCount, point);
            }

            _settledSums.Add(point);
            Append(point);
            _settledCount++;
        }

        _recent.RemoveRange(0, end - Neighbours);
        _lead = Neighbours;
    }

    /// <summary>Adds a settled point to those of size one; what is too many of a size goes up joined, half of them at once.</summary>
    private void Append(TrendEntry point)
    {
        TrendEntry[] coming = [point];
        for (int level = 0; coming.Length > 0; level++)
        {
            if (level == _settled.Count)
            {
                _settled.Add([]);
            }

            List<TrendEntry> entries = _settled[level];
            entries.AddRange(coming);
            coming = [];
            if (entries.Count > MostOfOneSize)
            {
                coming = new TrendEntry[MostOfOneSize / 4];
                for (int i = 0; i < coming.Length; i++)
                {
                    coming[i] = entries[2 * i].Join(entries[(2 * i) + 1]);
                }

                entries.RemoveRange(0, 2 * coming.Length);
            }
        }
    }
}
