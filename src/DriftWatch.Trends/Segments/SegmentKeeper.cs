using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Vessels;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Segments;

/// <summary>
/// Decides what a window that holds by its own readings means for the trend. A window near the expected level is a
/// point. One well above it is trapped fluid or a charge; one well below it a sudden loss; both wait for later windows:
/// a level is believed when distinct rests agree on it. With the gas side alone nothing else tells a plateau of trapped
/// fluid, which is as steady as the precharge itself.
/// </summary>
internal sealed class SegmentKeeper
{
    /// <summary>Agreeing rests that prove a level above the trusted one, gas side alone.</summary>
    private const int RestsForCharge = 3;

    /// <summary>Agreeing windows that prove a level below one that is doubted.</summary>
    private const int WindowsForStep = 2;

    /// <summary>Rests after which a first level seen from the gas side alone is no longer doubted.</summary>
    private const int RestsForSeed = 4;

    /// <summary>Windows in waiting; the oldest gives way.</summary>
    private const int MostPending = 8;

    /// <summary>Gas side alone: an unrecorded charge is not believed beyond this share of the upper limit.</summary>
    private const double UpperLimitMargin = 1.01;

    /// <summary>Share of the precharge that a gas gives up by cooling unseen, at most: 14 K at some 0.36 % each.</summary>
    private const double UnseenCoolingShare = 0.05;

    /// <summary>After this time an unrecorded charge is no longer doubted.</summary>
    private static readonly TimeSpan DoubtedFor = TimeSpan.FromDays(30);

    /// <summary>Cuts of one long rest confirm a loss when they lie this far apart.</summary>
    private static readonly TimeSpan DistinctForLoss = TimeSpan.FromHours(20);

    /// <summary>
    /// Cuts of one long rest prove a level when they lie this far apart. Fluid shut in over a long weekend or a holiday shows
    /// the same plateau day after day, so days are no second opinion; a vessel that never works still gets its level.
    /// </summary>
    private static readonly TimeSpan DistinctForLevel = TimeSpan.FromDays(7);

    /// <summary>A vessel that never works: cuts of its one rest count as rests of their own for a first level when they lie this far apart.</summary>
    private static readonly TimeSpan DistinctForSeed = TimeSpan.FromDays(5);

    private readonly IReadOnlyList<GasSideWork> _work;
    private readonly double _lowerLimitPa;
    private readonly double _upperLimitPa;
    private readonly LossBounds _bounds;
    private readonly Action<PrechargeWindow> _report;
    private readonly IReadOnlyList<DateTimeOffset> _checkedAt;
    private readonly List<PrechargeWindow> _pending;
    private SegmentPoints _present;
    private SegmentPoints? _suspended;
    private SegmentState _state;
    private DateTimeOffset _judgedAt;

    /// <summary>Goes on from a state.</summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="work">Work on record that ends a segment, in order of time.</param>
    /// <param name="state">Where it stands.</param>
    /// <param name="windows">Accepted windows of the current and the suspended segment, in order of time.</param>
    /// <param name="checkedAt">Instants at which the vessel was checked by hand, UTC: the points beside them are kept.</param>
    /// <param name="report">Told of each window whose standing is new.</param>
    public SegmentKeeper(
        VesselSpecification vessel, IReadOnlyList<GasSideWork> work, SegmentState state,
        IEnumerable<PrechargeWindow> windows, IReadOnlyList<DateTimeOffset> checkedAt, Action<PrechargeWindow> report)
    {
        _work = work;
        _checkedAt = checkedAt;
        _present = new SegmentPoints(checkedAt);
        _suspended = state.Suspended is null ? null : new SegmentPoints(checkedAt);
        _lowerLimitPa = vessel.LowerLimit.ToAbsolute(vessel.Ambient).Pascals;
        _upperLimitPa = vessel.UpperLimit.ToAbsolute(vessel.Ambient).Pascals;
        _bounds = LossBounds.Of(vessel);
        _state = state;
        _report = report;
        _pending = [.. state.Pending];
        foreach (PrechargeWindow window in windows)
        {
            if (window.Segment == state.Current?.Number)
            {
                Append(window);
            }
            else if (window.Segment == state.Suspended?.Number)
            {
                _suspended!.Append(window);
            }
        }
    }

    public SegmentState State => _state with { Pending = [.. _pending] };

    /// <summary>
    /// Points of the current segment in order of time: the first, the newest and those beside a check by hand, all as long as they are few.
    /// </summary>
    public IReadOnlyList<PrechargeWindow> Points => _present.Kept;

    /// <summary>All points of the current segment, condensed for the fit.</summary>
    public TrendSeries Series => _present.Series;

    /// <summary>The current segment; null while no level is trusted.</summary>
    public TrendSegment? Current => _state.Current;

    /// <summary>Takes a window in that holds by its own readings; true when the points of the current segment changed.</summary>
    /// <param name="window">The window.</param>
    /// <param name="restSank">Whether fluid may have been seeping out during its rest, so that it proves nothing but a loss.</param>
    /// <param name="judgedAt">Instant of the newest reading, UTC, not before the window's end; its end where null.</param>
    public bool Offer(PrechargeWindow window, bool restSank = false, DateTimeOffset? judgedAt = null)
    {
        _judgedAt = judgedAt ?? window.End;
        bool ended = PassWork(window.Start);
        if (_state.Suspended is not null && window.Start - _state.Current!.Start > DoubtedFor)
        {
            _state = _state with { Suspended = null };
            _suspended = null;
        }

        if (FallGoesOn(window))
        {
            RejectPending(pending => Higher(pending, window.PrechargePa));
            Accept(window);
            return true;
        }

        bool fluidKnown = window.Evidence != WindowEvidence.RestingPlateau;
        bool mayFirstShow = ShowsTooLittle(window) || (!restSank && (!window.Falls || fluidKnown));
        if ((restSank || window.Falls) && !(Points.Count == 0 ? mayFirstShow : Expected(Points).LiesBelow(window, Scatter)))
        {
            Reject(window, fluidKnown
                ? PrechargeWindow.NotSettled
                : "Trapped fluid: it was seeping out during this rest, and what is left of it cannot be told from the precharge.");
            return ended;
        }

        return (Points.Count == 0 ? Seed(window) : Compare(window)) || ended;
    }

    /// <summary>
    /// Whether a window lies so far below what is expected that a gas would have to cool by some 14 K to show it: with a temperature that
    /// stands, and a pressure that did not rise again, a loss is likelier.
    /// </summary>
    public bool LiesDeepBelow(PrechargeWindow window) =>
        NextWork(window.Start) is null && Points.Count > 0
        && Expected(Points) is var expected && expected.LiesBelow(window, Scatter)
        && window.PrechargePa < (1 - UnseenCoolingShare) * expected.LevelPa;

    /// <summary>
    /// Whether a rest still fell as the one before it did, and lies lower by more than the band: the same loss goes on. Whatever
    /// fluid there may be, the precharge is no higher.
    /// </summary>
    private bool FallGoesOn(PrechargeWindow window) =>
        window.Falls && Points.Count > 0 && Points[^1] is { Falls: true } last
        && last.PrechargePa - window.PrechargePa > Expectation.Band(last.RandomUncertaintyPa, window, last.PrechargePa);

    /// <summary>
    /// Takes up a window as the record has it, where its readings are gone and it cannot be judged again: a point stays a
    /// point of its segment, one that waited waits on. What began a segment is told from the levels.
    /// </summary>
    /// <param name="window">An accepted or ambiguous window, not before the one taken up last.</param>
    public void Restore(PrechargeWindow window)
    {
        while (NextWork(window.Start) is { } work)
        {
            Pass(work);
            Forget();
        }

        if (window.Standing == WindowStanding.Ambiguous)
        {
            if (_pending.Count == MostPending)
            {
                _pending.RemoveAt(0);
            }

            _pending.Add(window);
            return;
        }

        _pending.Clear();
        if (_state.Current?.Number != window.Segment)
        {
            RestoreSegment(window);
        }

        Append(window);
    }

    private void RestoreSegment(PrechargeWindow first)
    {
        double? before = Points.Count > 0 ? Expected(Points).AfterAllowedLoss(first.Middle) : null;
        SegmentCause cause = _state.LastWork is not null ? SeedCause
            : before is null ? SegmentCause.FirstWindow
            : first.PrechargePa > before ? SegmentCause.UnrecordedCharge
            : SegmentCause.SuddenLoss;
        _state = _state with
        {
            Current = new TrendSegment(first.Segment, _state.LastWork?.At ?? first.Start, cause),
            NextNumber = Math.Max(_state.NextNumber, first.Segment + 1),
            LastWork = null,
            PreviousLevelPa = cause == SegmentCause.SuddenLoss ? before : null,
        };
        Forget();
    }

    private bool PassWork(DateTimeOffset instant)
    {
        bool ended = false;
        while (NextWork(instant) is { } work)
        {
            RejectPending(pending => work.Kind == GasSideWorkKind.Charge
                ? "No later window confirmed this level before the charge."
                : "No later window confirmed this level before the transducer was changed.");
            Pass(work);
            _state = _state with { Suspended = null };
            Forget();
            _suspended = null;
            ended = true;
        }

        return ended;
    }

    private GasSideWork? NextWork(DateTimeOffset upTo) =>
        _state.WorkPassed < _work.Count && _work[_state.WorkPassed].At <= upTo ? _work[_state.WorkPassed] : null;

    /// <summary>A charge that no window has followed yet stays the cause of what comes, also where a transducer is changed after it.</summary>
    private void Pass(GasSideWork work) => _state = _state with
    {
        WorkPassed = _state.WorkPassed + 1,
        LastWork = work.Kind == GasSideWorkKind.TransducerChange && _state.LastWork is { Kind: GasSideWorkKind.Charge } charge ? charge : work,
        Current = null,
    };

    /// <summary>No level is trusted: the first with the fluid side known to be released, or the first two rests that agree.</summary>
    private bool Seed(PrechargeWindow window)
    {
        if (window.Evidence != WindowEvidence.RestingPlateau)
        {
            RejectPending(pending => Higher(pending, window.PrechargePa));
            Begin(SeedCause, _state.LastWork?.At ?? window.Start, [window]);
            return true;
        }

        bool tooLittle = ShowsTooLittle(window);
        List<PrechargeWindow> agreeing = _pending.FindAll(pending => Expectation.AgreeButForLeak(pending, window, _bounds)
            || (tooLittle && ShowsTooLittle(pending) && pending.PrechargePa > window.PrechargePa));
        if (agreeing.Exists(pending => Distinct(pending, window, tooLittle ? DistinctForLoss : DistinctForLevel)) && (SeedCause == SegmentCause.RecordedCharge || window.PrechargePa <= UpperLimitMargin * _upperLimitPa))
        {
            _pending.RemoveAll(agreeing.Contains);
            RejectPending(pending => Higher(pending, window.PrechargePa));
            Begin(SeedCause, _state.LastWork?.At ?? agreeing[0].Start, [.. agreeing, window]);
            return true;
        }

        Wait(window, "First plateau of its level; a second rest has to agree before it is trusted.");
        return false;
    }

    /// <summary>Whether a window lies below the lower limit: with fluid in the vessel or without, the precharge is no higher.</summary>
    private bool ShowsTooLittle(PrechargeWindow window) => window.PrechargePa < _lowerLimitPa;

    /// <summary>Scatter of the vessel's windows over the budget's: never taken for less than the budget says.</summary>
    private double Scatter => Math.Max(1, _state.Scatter);

    private Expectation Expected(IReadOnlyList<PrechargeWindow> points) => Expectation.From(points, _bounds);

    private SegmentCause SeedCause => _state.LastWork?.Kind switch
    {
        null => SegmentCause.FirstWindow,
        GasSideWorkKind.Charge => SegmentCause.RecordedCharge,
        _ => SegmentCause.RecordedTransducerChange,
    };

    private bool Compare(PrechargeWindow window)
    {
        Expectation expected = Expected(Points);
        double off = window.PrechargePa - expected.At(window.Middle);
        (int seen, int alone) = WindowRun.Count(_state.Seen, _state.Alone);
        _state = _state with { Seen = seen, Alone = alone };
        if (expected.LiesBelow(window, Scatter))
        {
            return Below(window, off, expected);
        }

        double above = window.PrechargePa - expected.AtMost(window.Middle);
        if (window.Evidence == WindowEvidence.RestingPlateau ? above <= expected.BandAt(window) : !expected.LiesAbove(window, Scatter))
        {
            Learn(window, expected);
            RejectPending(pending => Higher(pending, window.PrechargePa));
            Accept(window);
            return true;
        }

        return Above(window, above);
    }

    /// <summary>What a window near its expectation, and those far off before it that it leaves alone, tell of the scatter.</summary>
    private void Learn(PrechargeWindow window, Expectation expected)
    {
        int alone = _state.Alone;
        double scatter = _state.Scatter;
        foreach (PrechargeWindow told in _pending.Append(window))
        {
            // With the gas side alone what lies high is trapped fluid, which is no error of the window.
            bool low = expected.LiesBelow(told, Scatter);
            bool high = expected.LiesAbove(told, Scatter);
            if (!high || told.Evidence != WindowEvidence.RestingPlateau)
            {
                scatter = WindowRun.Learn(scatter, _state.Seen, (told.PrechargePa - expected.At(told.Middle)) / expected.OffUncertaintyPa(told));
                alone += low || high ? 1 : 0;
            }
        }

        _state = _state with { Alone = alone, Scatter = scatter };
    }

    private bool Above(PrechargeWindow window, double offPa)
    {
        bool gasSideAlone = window.Evidence == WindowEvidence.RestingPlateau;
        List<PrechargeWindow> agreeing = Tail(pending => gasSideAlone
            ? Expectation.Agree(pending, window)
            : Expectation.AgreeButForLeak(pending, window, _bounds));
        int rests = Rests(agreeing, window, gasSideAlone ? DistinctForLevel : DistinctForLoss);
        int needed = gasSideAlone ? RestsForCharge : WindowRun.Needed(_state.Seen, _state.Alone, false);
        bool believable = !gasSideAlone || window.PrechargePa <= UpperLimitMargin * _upperLimitPa;
        if (rests >= needed && believable)
        {
            _pending.RemoveAll(agreeing.Contains);
            if (!gasSideAlone && IsOutvoted)
            {
                BeginAgain([.. agreeing, window]);
                return true;
            }

            (TrendSegment before, SegmentPoints beforePoints) = (_state.Current!, _present);
            RejectPending(pending => Higher(pending, window.PrechargePa));
            double expectedPa = Expected(Points).AtMost(agreeing[0].Middle);
            Begin(SegmentCause.UnrecordedCharge, agreeing[0].Start, [.. agreeing, window]);
            _state = _state with { PreviousLevelPa = expectedPa };
            if (gasSideAlone)
            {
                _state = _state with { Suspended = before };
                _suspended = beforePoints;
            }

            return true;
        }

        Wait(window, FormattableString.Invariant(
            $"{offPa / 1e5:0.00} bar above the expected precharge: trapped fluid or an unrecorded charge. Later rests will tell."));
        return false;
    }

    private bool Below(PrechargeWindow window, double offPa, Expectation expected)
    {
        // Nothing makes a resting gas read low but the loss of gas, so lower and lower windows confirm each other too.
        List<PrechargeWindow> agreeing = Tail(pending => expected.LiesBelow(pending, Scatter));
        bool chargeDoubted = _state.Suspended is not null && AgreesWithSuspended(window);
        bool deep = expected.LiesDeep(window) && agreeing.TrueForAll(expected.LiesDeep);
        int needed = chargeDoubted || SeedIsYoung ? WindowsForStep : WindowRun.Needed(_state.Seen, _state.Alone, deep, window.Falls);
        if (Rests(agreeing, window, DistinctForLoss) >= needed)
        {
            IReadOnlyList<PrechargeWindow> low = [.. agreeing, window];
            _pending.RemoveAll(agreeing.Contains);
            RejectPending(pending => Higher(pending, window.PrechargePa));
            if (_state.Suspended is { } suspended && chargeDoubted)
            {
                TakeBack(suspended);
                foreach (PrechargeWindow point in low)
                {
                    Accept(point);
                }
            }
            else if (SeedIsYoung || (IsOutvoted && !deep && !window.Falls))
            {
                // The first level rests on few plateaus alone; a level below it, seen as often, shows that fluid stood in the vessel.
                BeginAgain(low);
            }
            else
            {
                double before = Expected(Points).AfterAllowedLoss(low[0].Middle);
                Begin(SegmentCause.SuddenLoss, low[0].Start, low);
                _state = _state with { PreviousLevelPa = before };
            }

            return true;
        }

        Wait(window, FormattableString.Invariant(
            $"{-offPa / 1e5:0.00} bar below the expected precharge: a sudden loss if later windows agree."));
        return false;
    }

    private bool AgreesWithSuspended(PrechargeWindow window)
    {
        Expectation before = Expected(_suspended!.Kept);
        return Math.Abs(window.PrechargePa - before.At(window.Middle)) <= 1.5 * before.BandAt(window);
    }

    /// <summary>The 'charge' was fluid trapped night after night: its points go, the segment before goes on.</summary>
    private void TakeBack(TrendSegment suspended)
    {
        RejectPoints();
        _state = _state with { Current = suspended, Suspended = null, PreviousLevelPa = null };
        (_present, _suspended) = (_suspended!, null);
    }

    /// <summary>Whether the first level still rests on so few rests that fluid may have stood in the vessel through all of them.</summary>
    private bool SeedIsYoung =>
        _present.IsWhole
        && _state.Current!.Cause is SegmentCause.FirstWindow or SegmentCause.RecordedCharge or SegmentCause.RecordedTransducerChange
        && Points.All(point => point.Evidence == WindowEvidence.RestingPlateau)
        && Rests([.. Points.SkipLast(1)], Points[^1], DistinctForSeed) < RestsForSeed;

    /// <summary>Whether a segment rests on one window alone, which others have outvoted: it began with a gross error.</summary>
    private bool IsOutvoted => Points.Count == 1 && Points[0].Evidence != WindowEvidence.RestingPlateau;

    private void RejectPoints()
    {
        foreach (PrechargeWindow point in Points)
        {
            Reject(point, point.Evidence == WindowEvidence.RestingPlateau
                ? "Trapped fluid: the plateau lay above the precharge, which later rests showed."
                : "The windows after it agreed on another level, and none on this.");
        }

        _state = _state with { LastRevocation = _judgedAt };
    }

    /// <summary>The points of the segment were none: it begins from the same moment with others.</summary>
    private void BeginAgain(IReadOnlyList<PrechargeWindow> points)
    {
        TrendSegment segment = _state.Current!;
        RejectPoints();
        Begin(segment.Cause, segment.Start, points);
    }

    private void Begin(SegmentCause cause, DateTimeOffset start, IReadOnlyList<PrechargeWindow> points)
    {
        _state = _state with
        {
            Current = new TrendSegment(_state.NextNumber, start, cause),
            NextNumber = _state.NextNumber + 1,
            LastWork = null,
            Suspended = null,
            PreviousLevelPa = null,
        };
        Forget();
        _suspended = null;
        foreach (PrechargeWindow point in points)
        {
            Accept(point);
        }
    }

    private void Accept(PrechargeWindow window)
    {
        PrechargeWindow point = window with { Standing = WindowStanding.Accepted, Reason = "", Segment = _state.Current!.Number };
        Append(point);
        _report(point);
    }

    private void Append(PrechargeWindow point)
    {
        _present.Append(point);

        // Points that may yet be taken back are all kept: those after a charge that is doubted, and those of a first level.
        if (_present.IsFull && _state.Suspended is null && !SeedIsYoung)
        {
            _present.LetGo();
        }
    }

    private void Forget() => _present = new SegmentPoints(_checkedAt);

    private void Wait(PrechargeWindow window, string reason)
    {
        if (_pending.Count == MostPending)
        {
            Reject(_pending[0], "No later window confirmed this level.");
            _pending.RemoveAt(0);
        }

        PrechargeWindow waiting = window with { Standing = WindowStanding.Ambiguous, Reason = reason };
        _pending.Add(waiting);
        _report(waiting);
    }

    /// <summary>The newest waiting windows, without a break, that support one, oldest first.</summary>
    private List<PrechargeWindow> Tail(Predicate<PrechargeWindow> supports)
    {
        int first = _pending.FindLastIndex(pending => !supports(pending)) + 1;
        return _pending[first..];
    }

    /// <summary>How many rests of their own a window and those before it lie in.</summary>
    private static int Rests(List<PrechargeWindow> before, PrechargeWindow window, TimeSpan distinctAfter)
    {
        int rests = 1;
        PrechargeWindow next = window;
        for (int i = before.Count - 1; i >= 0; i--)
        {
            if (Distinct(before[i], next, distinctAfter))
            {
                rests++;
                next = before[i];
            }
        }

        return rests;
    }

    private static bool Distinct(PrechargeWindow earlier, PrechargeWindow later, TimeSpan after) =>
        earlier.Rest != later.Rest || later.Start - earlier.Start >= after;

    private static string Higher(PrechargeWindow pending, double trustedPa) => pending.PrechargePa > trustedPa
        ? "Trapped fluid: the plateau lay above the precharge, which a later rest showed."
        : "A single low reading that no later window confirmed.";

    private void RejectPending(Func<PrechargeWindow, string> reason)
    {
        foreach (PrechargeWindow pending in _pending)
        {
            Reject(pending, reason(pending));
        }

        _pending.Clear();
    }

    private void Reject(PrechargeWindow window, string reason) =>
        _report(window with { Standing = WindowStanding.Rejected, Reason = reason, Segment = -1 });
}
