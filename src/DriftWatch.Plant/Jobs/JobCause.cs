namespace DriftWatch.Plant.Jobs;

/// <summary>Why a job is raised. A vessel has at most one open job for each cause.</summary>
public enum JobCause
{
    /// <summary>The precharge falls faster than allowed.</summary>
    FallingFasterThanAllowed,

    /// <summary>The precharge is below its lower limit.</summary>
    BelowLowerLimit,

    /// <summary>The precharge is above its upper limit.</summary>
    AboveUpperLimit,

    /// <summary>No precharge window for too long: check it by hand and see to the transducers.</summary>
    NoWindowTooLong,

    /// <summary>Checks by hand show that the pressure transducer drifts: what it says of the precharge cannot be relied on.</summary>
    TransducerDrift,
}
