using DriftWatch.Gas.Nitrogen;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Normalisation;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Vessels;
using DriftWatch.Trends.Windows;
using InfluxDB.Client.Api.Domain;
using InfluxDB.Client.Writes;

namespace DriftWatch.Storage.Influx;

/// <summary>
/// How readings, normalised values and precharge windows stand in InfluxDB. A point is known by its series and time, so
/// that writing it again changes nothing.
/// </summary>
internal static class InfluxPoints
{
    public const string ReadingMeasurement = "reading";
    public const string NormalisedMeasurement = "gas_side";
    public const string WindowMeasurement = "precharge_window";
    public const string VesselTag = "vessel";
    public const string SignalTag = "signal";
    public const string ValueField = "value";

    private const long NanosecondsPerTick = 100;

    /// <summary>A raw reading: Pa, K or 1/0, as the sensor gives it.</summary>
    public static PointData Of(VesselReading reading) => PointData
        .Measurement(ReadingMeasurement)
        .Tag(VesselTag, reading.VesselId)
        .Tag(SignalTag, reading.Reading.Signal.ToString())
        .Field(ValueField, reading.Reading.Value)
        .Timestamp(Nanoseconds(reading.Reading.Instant), WritePrecision.Ns);

    /// <summary>Normalised values of the gas pressures among readings in order, each with the newest temperature at or before it.</summary>
    public static IEnumerable<PointData> Normalised(Vessel vessel, FastIsochoricCorrection correction, IEnumerable<Reading> ordered)
    {
        Reading? temperature = null;
        foreach (Reading reading in ordered)
        {
            if (reading.Signal == Signal.GasTemperature)
            {
                temperature = reading;
            }
            else if (reading.Signal == Signal.GasPressure && temperature is { } at && reading.Instant - at.Instant <= SignalHold.Analog)
            {
                double pressurePa = reading.Value
                    + (vessel.Specification.GasPressureSensor.Kind == PressureKind.Gauge ? vessel.Specification.Ambient.Pascals : 0);
                double[] atReference = [double.NaN];
                double[] density = [double.NaN];
                if (correction.Correct([pressurePa], [at.Value], atReference, density) == 0)
                {
                    yield return PointData
                        .Measurement(NormalisedMeasurement)
                        .Tag(VesselTag, vessel.Id)
                        .Field("pressure_abs_pa", pressurePa)
                        .Field("temperature_k", at.Value)
                        .Field("pressure_at_reference_pa", atReference[0])
                        .Field("molar_density_mol_m3", density[0])
                        .Timestamp(Nanoseconds(reading.Instant), WritePrecision.Ns);
                }
            }
        }
    }

    /// <summary>A window, at its start; one that is withdrawn stays, marked so.</summary>
    public static PointData Of(SpooledWindow spooled)
    {
        PrechargeWindow window = spooled.Window;
        return PointData
            .Measurement(WindowMeasurement)
            .Tag(VesselTag, spooled.VesselId)
            .Field("precharge_pa", window.PrechargePa)
            .Field("random_uncertainty_pa", window.RandomUncertaintyPa)
            .Field("shared_uncertainty_pa", window.SharedUncertaintyPa)
            .Field("mean_pressure_pa", window.MeanPressurePa)
            .Field("mean_temperature_k", window.MeanTemperatureK)
            .Field("readings", (long)window.ReadingCount)
            .Field("seconds", (window.End - window.Start).TotalSeconds)
            .Field("segment", (long)window.Segment)
            .Field("accepted", !spooled.Withdrawn && window.Standing == WindowStanding.Accepted)
            .Field("withdrawn", spooled.Withdrawn)
            .Timestamp(Nanoseconds(window.Start), WritePrecision.Ns);
    }

    private static long Nanoseconds(DateTimeOffset instant) => (instant.UtcTicks - DateTimeOffset.UnixEpoch.UtcTicks) * NanosecondsPerTick;
}
