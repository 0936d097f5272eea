namespace DriftWatch.Trends.Verdicts;

/// <summary>What a verdict rests on: with the figures of the assessment it gives the reason in words.</summary>
public enum VerdictGround
{
    /// <summary>The precharge lies below the lower limit.</summary>
    LevelBelow,

    /// <summary>The precharge lies above the upper limit.</summary>
    LevelAbove,

    /// <summary>No window for longer than allowed.</summary>
    Silence,

    /// <summary>A sudden loss that is not on record as a bleed.</summary>
    SuddenLoss,

    /// <summary>No trusted window in the segment.</summary>
    NoPoint,

    /// <summary>Too few points for a trend.</summary>
    FewPoints,

    /// <summary>A loss proven to be above the allowed rate.</summary>
    LossProven,

    /// <summary>A loss that is not above the allowed rate.</summary>
    LossAllowed,

    /// <summary>A loss that looks above the allowed rate, without the proof that holds at every look.</summary>
    LossNotProven,

    /// <summary>A loss too uncertain to hold against the allowed rate.</summary>
    LossUncertain,
}
