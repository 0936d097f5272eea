namespace DriftWatch.Trends.Faults;

/// <summary>Watches one analog signal by itself: its range, its standing still, its times.</summary>
internal sealed class SignalWatch(CurrentLoop loop, SignalWatchState state)
{
    private const int RunForFault = 3;

    /// <summary>By this factor a reading moves the running median of the intervals: slow enough that an hour of fast sampling does not.</summary>
    private const double MedianStep = 1.01;

    private const double GapInTypical = 2.5;
    private const double GapMemory = 50;

    /// <summary>Half of what is lost comes two in a row or more: above this share some 40 % of all readings are missing.</summary>
    private const double GapsForFault = 0.15;

    private const int PairsForTwoClocks = 6;

    /// <summary>A loss is one way, a loss and the charge after it are two: what moves to and fro goes three.</summary>
    private const int LegsToAndFro = 3;
    private const int MostLegs = 100;

    /// <summary>Longer, an interval is an outage, not a lost reading, s.</summary>
    private const double OutageS = 24 * 3600;

    private SignalWatchState _state = state;

    public SignalWatchState State => _state;

    /// <summary>Takes a reading in; false when it is no measured value and must not be used as one.</summary>
    public bool Accept(DateTimeOffset instant, double value)
    {
        SignalWatchState now = _state;
        LoopState says = loop.StateOf(value);
        bool sameLoop = now.LoopRun > 0 && says == now.Loop;
        bool stands = value == now.Value;
        (double typical, double gaps, int interleaved, DateTimeOffset interleavedAt, double interval) = Times(now, instant);
        _state = new SignalWatchState(
            instant, value,
            stands ? now.Stands + 1 : 1, stands ? now.StandsSince : instant,
            stands ? now.OtherLow : double.PositiveInfinity, stands ? now.OtherHigh : double.NegativeInfinity,
            says, sameLoop ? now.LoopRun + 1 : 1, sameLoop ? now.LoopSince : instant,
            typical, interval, gaps, interleaved, interleavedAt,
            stands ? now.OtherLegs : 0, stands ? now.OtherTurn : 0);
        return says != LoopState.Failed;
    }

    /// <summary>Takes in a value of the signal that must move this one.</summary>
    /// <param name="value">The value, Pa or K.</param>
    /// <param name="leg">A way of the other signal counts from this length on, above 0; Pa or K.</param>
    public void AcceptOther(double value, double leg)
    {
        _state = _state with
        {
            OtherLow = Math.Min(_state.OtherLow, value),
            OtherHigh = Math.Max(_state.OtherHigh, value),
        };
        int legs = _state.OtherLegs;
        if (legs == 0)
        {
            _state = _state.OtherHigh - _state.OtherLow >= leg
                ? _state with { OtherLegs = value == _state.OtherHigh ? 1 : -1, OtherTurn = value }
                : _state;
            return;
        }

        double onward = Math.Sign(legs) * (value - _state.OtherTurn);
        _state = onward >= 0 ? _state with { OtherTurn = value }
            : -onward >= leg ? _state with { OtherLegs = -Math.Sign(legs) * Math.Min(Math.Abs(legs) + 1, MostLegs), OtherTurn = value }
            : _state;
    }

    /// <summary>Whether it has been out of its range for some readings.</summary>
    public bool OutOfRange => _state.Loop != LoopState.Measuring && _state.LoopRun >= RunForFault;

    /// <summary>Whether it loses readings again and again.</summary>
    public bool LosesReadings => _state.Gaps > GapsForFault;

    public double Milliamperes => loop.Milliamperes(_state.Value);

    /// <summary>Whether the value has stood for a time while the other signal moved by more than an amount.</summary>
    public bool Stuck(TimeSpan after, int fewest, double otherMovement) =>
        Stands(after, fewest) && _state.OtherHigh - _state.OtherLow > otherMovement;

    /// <summary>Whether the value has stood for a time while the other signal went to and fro.</summary>
    public bool StuckAtWork(TimeSpan after, int fewest) =>
        Stands(after, fewest) && Math.Abs(_state.OtherLegs) >= LegsToAndFro;

    private bool Stands(TimeSpan after, int fewest) => _state.Stands >= fewest && _state.Last - _state.StandsSince >= after;

    private static (double Typical, double Gaps, int Interleaved, DateTimeOffset At, double Interval) Times(
        in SignalWatchState before, DateTimeOffset instant)
    {
        if (before.Last == DateTimeOffset.MinValue)
        {
            return (0, 0, 0, DateTimeOffset.MinValue, 0);
        }

        double interval = (instant - before.Last).TotalSeconds;
        if (before.TypicalS == 0)
        {
            return (interval, 0, 0, before.InterleavedAt, interval);
        }

        double typical = interval > before.TypicalS ? before.TypicalS * MedianStep
            : interval < before.TypicalS ? before.TypicalS / MedianStep : before.TypicalS;
        double gap = interval > GapInTypical * before.TypicalS && interval < OutageS ? 1 : 0;

        // Two runs of one clock over the same hours come interleaved: short and long by turns, together the interval of one run.
        double pair = interval + before.IntervalS;
        bool uneven = Math.Abs(interval - before.IntervalS) > 0.2 * pair;
        bool together = Math.Abs(pair - before.TypicalS) < 0.1 * before.TypicalS;
        int interleaved = uneven && together ? before.Interleaved + 1 : 0;
        if (interleaved > 0)
        {
            typical = before.TypicalS; // Kept, or the pairs would soon be the typical ones.
        }

        DateTimeOffset at = interleaved >= PairsForTwoClocks ? instant : before.InterleavedAt;
        return (typical, before.Gaps + ((gap - before.Gaps) / GapMemory), interleaved, at, interval);
    }
}
