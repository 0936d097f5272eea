namespace DriftWatch.SamplePlant;

/// <summary>A stretch of time in which the fluid side stays in one state.</summary>
/// <param name="StartMinute">First minute, counted from the start of the timetable.</param>
/// <param name="EndMinute">First minute after it.</param>
/// <param name="State">What the fluid side does.</param>
/// <param name="Level">Held: where between p1 (0) and p2 (1) it stood. Trapped: by what fraction the gas stays denser than at rest.</param>
/// <param name="SeepHours">Held or trapped: time constant with which the fluid seeps away to the tank; infinite where the valves are tight.</param>
public readonly record struct Stretch(int StartMinute, int EndMinute, FluidState State, double Level, double SeepHours);
