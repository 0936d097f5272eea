namespace DriftWatch.Plant.Jobs;

/// <summary>What was done to the gas side.</summary>
public enum AnswerWork
{
    /// <summary>The precharge was checked and left as it was.</summary>
    Checked,

    /// <summary>The vessel was charged or bled; the values are those it was left with.</summary>
    Charged,
}
