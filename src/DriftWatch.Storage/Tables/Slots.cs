using DriftWatch.Trends.Readings;

namespace DriftWatch.Storage.Tables;

/// <summary>Where a reading stands: the slot of time, the place within it, the day.</summary>
internal static class Slots
{
    public const int PerDay = 400;

    private const long Ticks = TimeSpan.TicksPerDay / PerDay;
    private const int SignalBits = 3;

    public static long SlotOf(long ticks) => ticks / Ticks;

    public static long WithinOf(long ticks, Signal signal) => ((ticks % Ticks) << SignalBits) | (byte)signal;

    public static long TicksOf(long slot, long within) => (slot * Ticks) + (within >> SignalBits);

    public static Reading Reading(long slot, long within, double value) =>
        new((Signal)(within & ((1 << SignalBits) - 1)), Instants.FromTicks(TicksOf(slot, within)), value);

    public static long DayOf(long ticks) => ticks / TimeSpan.TicksPerDay;

    public static long DayOfSlot(long slot) => slot / PerDay;

    public static long FirstSlotOf(long day) => day * PerDay;
}
