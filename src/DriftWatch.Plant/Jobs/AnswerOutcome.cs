namespace DriftWatch.Plant.Jobs;

/// <summary>What came of recording an answer.</summary>
public enum AnswerOutcome
{
    /// <summary>Recorded.</summary>
    Recorded,

    /// <summary>The same answer is on record already; nothing has changed.</summary>
    Repeated,

    /// <summary>Another answer has this id; nothing has changed.</summary>
    IdUsed,

    /// <summary>There is no job of this key; nothing has changed.</summary>
    NoSuchJob,
}
