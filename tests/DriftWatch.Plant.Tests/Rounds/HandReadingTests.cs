using DriftWatch.Gas.Quantities;
using DriftWatch.Plant.Records;
using DriftWatch.Plant.Register;
using DriftWatch.Plant.Rounds;
using DriftWatch.Trends.Inspection;

namespace DriftWatch.Plant.Tests.Rounds;

public class HandReadingTests
{
    /// <summary>The corners of what register and records allow: reference temperature -20 to 60 degrees C, air 30 to 115 kPa, and what can be recorded.</summary>
    [Fact]
    public void Whatever_can_be_recorded_can_be_brought_to_the_reference_temperature()
    {
        foreach (double referenceCelsius in (double[])[-20, 60])
        {
            foreach (double ambientPa in (double[])[30e3, 115e3])
            {
                foreach (double nominalBar in (double[])[0.01, 650])
                {
                    Vessel vessel = Bench.Vessel();
                    vessel = vessel with
                    {
                        Specification = vessel.Specification with
                        {
                            ReferenceTemperature = GasTemperature.FromDegreesCelsius(referenceCelsius),
                            Ambient = AbsolutePressure.FromPascals(ambientPa),
                            NominalPrecharge = GaugePressure.FromBar(nominalBar),
                        },
                        RecordedChecks =
                        [
                            .. from bar in (double[])[0, 1, WorkRecord.GreatestBarGauge]
                               from celsius in (double[])[WorkRecord.LowestCelsius, WorkRecord.HighestCelsius]
                               select Bench.Check(0, bar, celsius),
                            Bench.Check(1),
                        ],
                    };
                    IReadOnlyList<HandReading> readings = HandReading.Of(vessel, HandInstruments.Common);
                    Assert.Equal(6, readings.Count);
                    Assert.All(readings, reading => Assert.True(
                        reading.PrechargePa > 0 && double.IsFinite(reading.PrechargePa) && double.IsFinite(reading.CombinedUncertaintyPa), reading.ToString()));
                }
            }
        }
    }
}
