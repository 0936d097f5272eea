namespace DriftWatch.Plant.Register;

/// <summary>What reading a register file gave: the register, or everything that is wrong with the file.</summary>
public sealed class RegisterOutcome
{
    internal RegisterOutcome(VesselRegister register)
    {
        Register = register;
        Defects = [];
    }

    internal RegisterOutcome(IReadOnlyList<RegisterDefect> defects) => Defects = defects;

    /// <summary>The register; null when there are defects.</summary>
    public VesselRegister? Register { get; }

    /// <summary>All defects in the order of the file; empty when there is a register.</summary>
    public IReadOnlyList<RegisterDefect> Defects { get; }
}
