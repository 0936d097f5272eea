namespace DriftWatch.Plant.Records;

/// <summary>What came of recording work, or of voiding a record.</summary>
public enum WorkOutcome
{
    /// <summary>Recorded.</summary>
    Recorded,

    /// <summary>The same is on record already; nothing has changed.</summary>
    Repeated,

    /// <summary>Something else has this id; nothing has changed.</summary>
    IdUsed,

    /// <summary>There is no record of the id that is to be voided; nothing has changed.</summary>
    NoSuchRecord,

    /// <summary>The record is void already; nothing has changed.</summary>
    VoidAlready,
}
