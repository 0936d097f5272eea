namespace DriftWatch.Plant.Rounds;

/// <summary>Why a vessel is due for a check by hand.</summary>
public enum DueReason
{
    /// <summary>Its precharge was never seen.</summary>
    NeverSeen,

    /// <summary>No charge or check by hand is on record, and what its transducers showed does not count: they are not trusted.</summary>
    NotTrusted,

    /// <summary>Nothing was seen of it for too long.</summary>
    Silent,

    /// <summary>A week after it was charged.</summary>
    AfterCharge,

    /// <summary>A week after it was seen first, no charge being on record.</summary>
    AfterFirstSeen,

    /// <summary>A week after a check that found a loss.</summary>
    AfterLoss,

    /// <summary>The trend of the transducers shows a loss that is not allowed, and nobody was there for a week.</summary>
    LossInTrend,

    /// <summary>Four months after the first check without a loss.</summary>
    FourMonths,

    /// <summary>Six months after the last check without a loss.</summary>
    SixMonths,
}
