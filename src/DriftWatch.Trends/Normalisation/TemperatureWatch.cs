namespace DriftWatch.Trends.Normalisation;

/// <summary>
/// Watches for a temperature that stands still while the pressure shows that the gas warms or cools. A frozen
/// temperature turns the seasons into a false leak, so a window is held back as soon as there is doubt.
/// </summary>
internal sealed class TemperatureWatch(TemperatureWatchState state)
{
    private static readonly TimeSpan DoubtAfter = TimeSpan.FromHours(3);
    private static readonly TimeSpan StuckAfter = TimeSpan.FromHours(24);

    private const int FewestForDoubt = 5;
    private const int FewestForStuck = 20;

    /// <summary>Relative pressure movement at a standing temperature that raises doubt: a resting gas moves so much with 1 K.</summary>
    private const double DoubtMovement = 0.003;

    /// <summary>
    /// Relative pressure movement at a standing temperature that proves it stuck where the pressure also rises: 10 K at rest, or work.
    /// </summary>
    private const double StuckMovement = 0.03;

    /// <summary>
    /// A pressure that never rises by this share only falls. That is a loss as well as a gas that cools unseen; but a room whose temperature
    /// moves unseen warms again by the 2 K that this takes, and so does every gas that works.
    /// </summary>
    private const double RiseShare = 0.007;

    /// <summary>
    /// A sensor that only shows steps as coarse as this, K, stands for days in an even room while the machine works. It is stuck where it stands
    /// for longer than this many times the longest that it did so and then went on by one step.
    /// </summary>
    private const double CoarseStepK = 0.4;
    private const double LongerThanBefore = 3;

    private TemperatureWatchState _state = state;

    public TemperatureWatchState State => _state;

    /// <summary>Whether the temperature is stuck.</summary>
    public bool Stuck => Stands(StuckAfter, FewestForStuck, StuckMovement) && !OnlyFell
        && !(_state.StepK >= CoarseStepK && (_state.Last - _state.Since).TotalSeconds < LongerThanBefore * _state.LongestS);

    /// <summary>Whether the temperature may be stuck.</summary>
    public bool Doubtful => Stands(DoubtAfter, FewestForDoubt, DoubtMovement);

    /// <summary>Whether the pressure did nothing but fall while the temperature stood.</summary>
    public bool OnlyFell => _state.RisePa <= RiseShare * _state.HighestPa;

    /// <summary>Since when the temperature stands on its value, UTC.</summary>
    public DateTimeOffset Since => _state.Since;

    /// <summary>Takes a temperature in; true when it moved.</summary>
    public bool AcceptTemperature(DateTimeOffset instant, double kelvins)
    {
        if (kelvins == _state.ValueK)
        {
            _state = _state with { Count = _state.Count + 1, Last = instant };
            return false;
        }

        (double stepK, double longestS) = Steps(Math.Abs(kelvins - _state.ValueK));
        _state = new TemperatureWatchState(
            kelvins, instant, 1, instant, double.PositiveInfinity, double.NegativeInfinity, StepK: stepK, LongestS: longestS);
        return true;
    }

    /// <summary>The smallest step and the longest stand, once the temperature went on by a step. What a finer sensor did before it showed a finer step is forgotten.</summary>
    private (double StepK, double LongestS) Steps(double stepK)
    {
        if (double.IsNaN(stepK))
        {
            return (0, 0);
        }

        // Values of one grid differ by rounding alone.
        double smallest = _state.StepK == 0 ? stepK : Math.Min(stepK, _state.StepK);
        double before = smallest > 0.99 * _state.StepK ? _state.LongestS : 0;
        return (smallest, stepK < 1.01 * smallest ? Math.Max(before, (_state.Last - _state.Since).TotalSeconds) : before);
    }

    /// <summary>Takes a gas pressure in.</summary>
    public void AcceptPressure(double pressurePa) => _state = _state with
    {
        LowestPa = Math.Min(_state.LowestPa, pressurePa),
        HighestPa = Math.Max(_state.HighestPa, pressurePa),
        RisePa = Math.Max(_state.RisePa, pressurePa - Math.Min(_state.LowestPa, pressurePa)),
    };

    private bool Stands(TimeSpan after, int fewest, double movement) =>
        _state.Count >= fewest
        && _state.Last - _state.Since >= after
        && _state.HighestPa - _state.LowestPa > movement * _state.HighestPa;
}
