namespace DriftWatch.Storage.Tables;

/// <summary>Instants as they are stored: UTC ticks, lossless.</summary>
internal static class Instants
{
    public static DateTimeOffset FromTicks(long utcTicks) => new(utcTicks, TimeSpan.Zero);
}
