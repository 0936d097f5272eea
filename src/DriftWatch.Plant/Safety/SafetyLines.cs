namespace DriftWatch.Plant.Safety;

/// <summary>The cautions that stand wherever work on a vessel is asked for.</summary>
public static class SafetyLines
{
    /// <summary>The reminder that stands before all work.</summary>
    public const string Isolation =
        "Fluid side isolated from the live system, secured against pressure coming back, and fully released before the gas side is touched; the fluid-side gauge shows zero.";

    /// <summary>All of them, in reading order.</summary>
    public static IReadOnlyList<string> All { get; } =
    [
        "Charge with nitrogen only; never with oxygen, air or another gas.",
        "Isolate the fluid side from the live system and release it fully before the precharge is checked or changed.",
        "No welding, soldering or machining on the shell. Release fluid and gas pressure as the work needs before any work on the vessel.",
        "Open the gas valve only with the charging unit made for it, with a pressure regulator between bottle and vessel.",
        "Charge slowly at first, until the separator has unfolded or moved; then let the gas settle to a steady temperature.",
        "The maker's instructions, local pressure-equipment codes and licensed persons come first.",
        "DriftWatch advises; it does not certify that a vessel is fit for use.",
    ];
}
