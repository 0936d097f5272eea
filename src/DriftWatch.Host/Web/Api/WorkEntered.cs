using DriftWatch.Plant.Records;

namespace DriftWatch.Host.Web.Api;

/// <summary>Work that a program tells of.</summary>
/// <param name="Kind">Charge or check.</param>
/// <param name="At">When it was done, with offset; of a charge, when the values were read at its end.</param>
/// <param name="Who">Who did it; who tells of it where left out.</param>
/// <param name="GasPressureGaugePa">Gas pressure found or left, Pa gauge, fluid side released.</param>
/// <param name="GasTemperatureK">Gas temperature at it, K.</param>
/// <param name="IsolatedAndReleased">That the fluid side was isolated and fully released: a check, and values, count only with it.</param>
/// <param name="NitrogenKg">Nitrogen that a charge took, kg.</param>
/// <param name="GaugeId">Gauge it was read with.</param>
/// <param name="Note">In words.</param>
internal sealed record WorkEntered(
    WorkKind Kind,
    DateTimeOffset At,
    string? Who = null,
    double? GasPressureGaugePa = null,
    double? GasTemperatureK = null,
    bool IsolatedAndReleased = false,
    double? NitrogenKg = null,
    string? GaugeId = null,
    string? Note = null);
