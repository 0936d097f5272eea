namespace DriftWatch.SamplePlant;

/// <summary>What the fluid side does to the vessel.</summary>
public enum FluidState
{
    /// <summary>The machine works: the fluid pressure swings between p1 and p2 within seconds.</summary>
    Working,

    /// <summary>The fluid side is bled to the tank: the gas fills the whole gas volume.</summary>
    Released,

    /// <summary>The machine stands, the fluid stays shut in at working pressure behind the check valve.</summary>
    Held,

    /// <summary>Meant to be released, but some fluid stayed in: a plateau above the precharge.</summary>
    Trapped,
}
