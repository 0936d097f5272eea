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

    private TemperatureWatchState _state = state;

    public TemperatureWatchState State => _state;

    /// <summary>Whether the temperature is stuck.</summary>
    public bool Stuck => Stands(StuckAfter, FewestForStuck, StuckMovement) && !OnlyFell;

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

        _state = new TemperatureWatchState(kelvins, instant, 1, instant, double.PositiveInfinity, double.NegativeInfinity);
        return true;
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
