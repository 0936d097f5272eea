using DriftWatch.Gas.Nitrogen;

namespace DriftWatch.SamplePlant.Tests;

public class PlantedTruthTests
{
    private const double ReferenceK = 293.15;

    public static TheoryData<string> Ids => [.. Plant.Vessels.Select(script => script.Id)];

    /// <summary>
    /// Nitrogen of 90 bar absolute at 243.15 K has 4688.814572 mol/m3 and 114.89658112 bar absolute at 293.15 K (computed from
    /// the equation of Span et al., J. Phys. Chem. Ref. Data 29 (2000) 1361, coefficients as published, outside this project).
    /// </summary>
    [Fact]
    public void A_precharge_holds_the_amount_of_nitrogen_that_the_published_equation_gives()
    {
        VesselScript script = Plant.Vessels[0] with { AltitudeMetres = 0, GasVolumeLitres = 50, StartBarGauge = 114.89658112 - 1.01325 };
        Assert.Equal(4688.814572 * 0.05, new GasSide(script).AmountMol(script.Start), 4);
    }

    /// <summary>
    /// What a reader of the files can find out: settled rests, known offsets taken off, normalised by the equation of state,
    /// must give the planted precharge back.
    /// </summary>
    [Theory]
    [MemberData(nameof(Ids))]
    public void Settled_rests_normalised_to_reference_temperature_show_the_planted_precharge(string id)
    {
        VesselScript script = Plant.Vessels.Single(vessel => vessel.Id == id);
        var gasSide = new GasSide(script);
        var offsets = new Sensors(script, new Dice(Plant.Seed, id, "calibration"), new Dice(0, id, "unused"));
        double settledMinutes = script.Shifts.Habit == ReleaseHabit.Break ? 45 : 6 * script.GasLagMinutes;
        DateTimeOffset trusted = script.TemperatureStuckFrom ?? script.BurstAt ?? script.End;
        double misses = 0;
        int settled = 0;
        int count = 0;
        foreach ((LoggedReading reading, TrueState truth) in VesselRun.Samples(script, Plant.Seed))
        {
            if (truth.Fluid != FluidState.Released || truth.MinutesInState < settledMinutes || reading.Time >= trusted)
            {
                continue;
            }

            // Every fifth is enough, and quicker.
            settled++;
            if (settled % 5 != 0)
            {
                continue;
            }

            double planted = gasSide.PrechargeBarGauge(reading.Time);

            // Without sensors between: exact but for the solver.
            double noiseFree = Normalised(truth.GasTemperatureK, truth.GasPressurePa, script);
            Assert.Equal(planted, noiseFree, 6);

            double shownPa = ((reading.GasPressureBar - offsets.PressureOffsetBar) * 1e5) + (script.AbsolutePressureSensor ? 0 : script.BarometricPa);
            double shown = Normalised(reading.GasTemperatureC + 273.15 - offsets.TemperatureOffsetK, shownPa, script);
            Assert.InRange(shown - planted, -1.5, 1.5);
            misses += shown - planted;
            count++;
        }

        Assert.True(count > 0, "no settled rest looked at");
        Assert.InRange(misses / count, -0.1, 0.1);
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void The_expected_verdict_is_the_one_that_precharge_limits_and_loss_call_for(string id)
    {
        VesselScript script = Plant.Vessels.Single(vessel => vessel.Id == id);
        var gasSide = new GasSide(script);
        double endBar = gasSide.PrechargeBarGauge(script.End);
        double months = (script.End - gasSide.SegmentStart) / TimeSpan.FromDays(365.25 / 12);
        double lossBarPerMonth = (gasSide.PrechargeBarGauge(gasSide.SegmentStart) - endBar) / months;
        double allowed = script.AllowedBarPerMonth
            ?? script.AllowedPercentPerMonth!.Value / 100 * (script.NominalBarGauge + (script.BarometricPa / 1e5));
        Stretch[] releases = [.. VesselRun.Timetable(script, Plant.Seed).Where(stretch => stretch.State == FluidState.Released)];
        DateTimeOffset seen = script.Start.AddMinutes(releases[^1].EndMinute);
        if (script.TemperatureStuckFrom is { } stuck)
        {
            seen = stuck;
        }

        Verdict called = script.End - seen > TimeSpan.FromDays(30) ? Verdict.NoWindowTooLong
            : releases.Length < 3 ? Verdict.NotKnownYet
            : endBar < script.LowerLimitBarGauge ? Verdict.BelowLowerLimit
            : endBar > script.UpperLimitBarGauge ? Verdict.AboveUpperLimit
            : lossBarPerMonth > allowed ? Verdict.FallingFasterThanAllowed
            : Verdict.WithinLimits;
        Assert.Equal(script.ExpectedVerdict, called);

        // No truth on a knife's edge: a verdict may be asked of real sensors.
        Assert.True(Math.Abs(endBar - script.LowerLimitBarGauge) > 2.5 && Math.Abs(endBar - script.UpperLimitBarGauge) > 2.5);
        Assert.False(lossBarPerMonth > 0.6 * allowed && lossBarPerMonth < 1.6 * allowed);
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void Limits_stand_around_the_nominal_precharge_and_working_pressures_follow_common_practice(string id)
    {
        VesselScript script = Plant.Vessels.Single(vessel => vessel.Id == id);
        Assert.InRange(script.NominalBarGauge, script.LowerLimitBarGauge, script.UpperLimitBarGauge);

        // Common practice: p1 >= 1.1 p0 at the highest gas temperature (taken as 45 degrees C), p2 <= 4 p0; absolute pressures.
        double nominalPa = script.BarometricPa + (script.NominalBarGauge * 1e5);
        double hotPa = NitrogenEquation.PressurePa(318.15, NitrogenEquation.MolarDensityMolPerM3(ReferenceK, nominalPa));
        Assert.True(script.BarometricPa + (script.P1BarGauge * 1e5) >= 1.1 * hotPa);
        Assert.True(script.BarometricPa + (script.P2BarGauge * 1e5) <= 4 * nominalPa);
        Assert.True(script.P2BarGauge < script.PressureSensor.High);
    }

    [Fact]
    public void The_crossing_is_where_the_precharge_meets_the_lower_limit()
    {
        foreach (VesselScript script in Plant.Vessels.Where(script => script.BurstAt is null))
        {
            var gasSide = new GasSide(script);
            if (gasSide.LowerLimitCrossing() is { } crossing)
            {
                Assert.Equal(script.LowerLimitBarGauge, gasSide.PrechargeBarGauge(crossing), 3);
            }
        }

        Assert.Equal(
            ["PR2-A1", "PR2-A2", "SH1-A1", "HY1-A1", "HY1-A2"],
            Plant.Vessels.Where(script => script.BurstAt is null && new GasSide(script).LowerLimitCrossing() is not null)
                .Select(script => script.Id));
    }

    private static double Normalised(double temperatureK, double pressurePa, VesselScript script)
    {
        double density = NitrogenEquation.MolarDensityMolPerM3(temperatureK, pressurePa);
        return (NitrogenEquation.PressurePa(ReferenceK, density) - script.BarometricPa) / 1e5;
    }
}
