using DriftWatch.Plant.Register;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Plant.Tests.Register;

public class RegisterReaderTests
{
    [Fact]
    public void A_good_file_becomes_typed_vessels_in_si()
    {
        RegisterOutcome outcome = RegisterReader.Read(RegisterDocuments.Good);
        Assert.Empty(outcome.Defects);
        VesselRegister register = outcome.Register!;
        Assert.Equal("Example Works", register.Plant);
        Assert.Equal(["PU1-A1", "PU1-A2"], register.Vessels.Select(vessel => vessel.Id));

        Vessel first = register.Find("PU1-A1")!;
        Assert.Equal("Main circuit accumulator 1", first.Description);
        Assert.Equal("Press hall, power unit 1", first.Place);
        VesselSpecification specification = first.Specification;
        Assert.Equal(VesselType.Bladder, specification.Type);
        Assert.Equal(0.05, specification.GasVolume.CubicMetres, 12);
        Assert.Equal(293.15, specification.ReferenceTemperature.Kelvins, 9);
        Assert.Equal(1.00e7, specification.NominalPrecharge.Pascals, 3);
        Assert.Equal(0.90e7, specification.LowerLimit.Pascals, 3);
        Assert.Equal(1.08e7, specification.UpperLimit.Pascals, 3);
        Assert.Equal(1.20e7, specification.LowestWorkingPressure!.Value.Pascals, 3);
        Assert.Equal(2.10e7, specification.HighestWorkingPressure!.Value.Pascals, 3);
        Assert.Equal(new PressureSensor(PressureKind.Gauge, 0, 4e7, 3e4), specification.GasPressureSensor);
        Assert.Equal(233.15, specification.GasTemperatureSensor.RangeLowK, 9);
        Assert.Equal(398.15, specification.GasTemperatureSensor.RangeHighK, 9);
        Assert.Equal(0.5, specification.GasTemperatureSensor.StandardUncertaintyK);
        Assert.Equal(new PressureSensor(PressureKind.Gauge, 0, 4e7, 5e4), specification.FluidPressureSensor);
        Assert.True(specification.HasDepressurisedContact);
        Assert.Equal(TimeSpan.FromDays(30), specification.LongestSilence);
        Assert.Equal(
            [
                new SignalSource(Signal.GasPressure, "works/pu1/a1", "gas-pressure", "bar"),
                new SignalSource(Signal.GasTemperature, "works/pu1/a1", "gas-temperature", "Cel"),
                new SignalSource(Signal.FluidPressure, "works/pu1/a1", "fluid-pressure", "bar"),
                new SignalSource(Signal.Depressurised, "works/pu1/a1", "released", ""),
            ],
            first.Sources);

        // A month of 365.25/12 days has 2,629,800 s.
        Assert.Equal(1e5 / 2_629_800, specification.AllowedLossPaPerSecond, 12);

        // Ascending, UTC.
        Assert.Equal(
            [new DateTimeOffset(2024, 1, 2, 2, 4, 5, TimeSpan.Zero), new DateTimeOffset(2025, 6, 3, 7, 30, 0, TimeSpan.Zero)],
            first.RecordedCharges.Select(charge => charge.At));
        Assert.Equal(new DateTimeOffset(2025, 2, 1, 9, 0, 0, TimeSpan.Zero), Assert.Single(first.TransducerChanges));
        Assert.Equal(
            [GasSideWorkKind.Charge, GasSideWorkKind.TransducerChange, GasSideWorkKind.Charge], first.GasSideWork.Select(work => work.Kind));
        Assert.All(first.RecordedCharges, charge => Assert.Equal(TimeSpan.Zero, charge.At.Offset));
    }

    [Fact]
    public void What_is_left_out_takes_the_stated_defaults()
    {
        VesselSpecification specification = RegisterReader.Read(RegisterDocuments.Good).Register!.Find("PU1-A2")!.Specification;

        // Sea level: 1013.25 hPa by ISO 2533.
        Assert.Equal(101_325, specification.Ambient.Pascals, 6);
        Assert.Equal(TimeSpan.FromDays(30), specification.LongestSilence);
        Assert.Equal(0.01, specification.FalseAlarmProbability);
        Assert.Null(specification.FluidPressureSensor);
        Assert.False(specification.HasDepressurisedContact);
        Assert.Null(specification.LowestWorkingPressure);

        // 1.5 % of (60 bar gauge + 1.01325 bar) = 0.9151988 bar a month of 2,629,800 s.
        Assert.Equal(91_519.875 / 2_629_800, specification.AllowedLossPaPerSecond, 9);
    }

    [Fact]
    public void Altitude_and_barometric_pressure_give_the_ambient_pressure()
    {
        // ISO 2533 gives 899 hPa (898.75) at 1000 m geopotential altitude.
        string high = RegisterDocuments.With("vessels.0.ambient", """{ "altitudeMetres": 1000 }""");
        Assert.InRange(RegisterReader.Read(high).Register!.Find("PU1-A1")!.Specification.Ambient.Pascals, 89_870, 89_880);

        string measured = RegisterDocuments.With("vessels.0.ambient", """{ "barometricPressureKPa": 99.2 }""");
        Assert.Equal(99_200, RegisterReader.Read(measured).Register!.Find("PU1-A1")!.Specification.Ambient.Pascals, 6);
    }

    [Fact]
    public void Comments_trailing_commas_and_a_byte_order_mark_are_passed_over()
    {
        string text = "\uFEFF// the plant\n" + RegisterDocuments.Good.Replace("\"falseAlarmProbability\": 0.01,", "\"falseAlarmProbability\": 0.01, /* low */", StringComparison.Ordinal);
        Assert.Empty(RegisterReader.Read(text).Defects);
    }

    [Theory]
    [InlineData("{\n  \"plant\": \"Works\"\n  \"vessels\": []\n}", "line 3, column 3")]
    [InlineData("{ \"plant\": NaN }", "line 1, column 12")]
    [InlineData("", "line 1, column 1")]
    public void Text_that_is_no_json_is_told_with_line_and_column(string text, string place)
    {
        RegisterDefect defect = Assert.Single(RegisterReader.Read(text).Defects);
        Assert.Equal(place, defect.Place);
        Assert.StartsWith("The text is no JSON", defect.Problem, StringComparison.Ordinal);
        Assert.DoesNotContain("LineNumber", defect.Problem, StringComparison.Ordinal);
    }

    [Fact]
    public void All_defects_are_told_at_once_each_with_place_vessel_and_remedy()
    {
        string text = RegisterDocuments.Good;
        text = RegisterDocuments.With("vessels.0.precharge.lowerLimitBarGauge", "101", text);
        text = RegisterDocuments.With("vessels.0.gasVolumeLitres", "\"50\"", text);
        text = RegisterDocuments.With("vessels.0.colour", "\"red\"", text);
        text = RegisterDocuments.With("vessels.1.type", null, text);
        text = RegisterDocuments.With("vessels.1.sensors.gasPressure.unit", "\"BAR\"", text);
        RegisterOutcome outcome = RegisterReader.Read(text);
        Assert.Null(outcome.Register);
        Assert.Equal(
            [
                ("vessels[0].colour", "PU1-A1"),
                ("vessels[0].gasVolumeLitres", "PU1-A1"),
                ("vessels[0].precharge.lowerLimitBarGauge", "PU1-A1"),
                ("vessels[1].sensors.gasPressure.unit", "PU1-A2"),
                ("vessels[1].type", "PU1-A2"),
            ],
            outcome.Defects.Select(defect => (defect.Place, defect.VesselId!)).OrderBy(defect => defect.Place, StringComparer.Ordinal));
        Assert.All(outcome.Defects, defect => Assert.NotEmpty(defect.Mend));
    }

    [Fact]
    public void A_defect_reads_as_one_line_with_value_place_and_remedy()
    {
        string text = RegisterDocuments.With("vessels.0.precharge.lowerLimitBarGauge", "101");
        Assert.Equal(
            "vessels[0].precharge.lowerLimitBarGauge (vessel PU1-A1): The lower limit 101 bar is not below the nominal 100 bar. Set it below the nominal.",
            Assert.Single(RegisterReader.Read(text).Defects).ToString());
        text = RegisterDocuments.With("vessels.0.falseAlarmProbability", "0.5");
        Assert.Equal(
            "vessels[0].falseAlarmProbability (vessel PU1-A1): 0.5 is out of range. Allowed is above 0 to below 0.5.",
            Assert.Single(RegisterReader.Read(text).Defects).ToString());
    }

    [Fact]
    public void A_field_given_twice_is_a_defect()
    {
        string text = RegisterDocuments.Good.Replace("\"gasVolumeLitres\": 50,", "\"gasVolumeLitres\": 50, \"gasVolumeLitres\": 32,", StringComparison.Ordinal);
        Assert.Equal("vessels[0].gasVolumeLitres", Assert.Single(RegisterReader.Read(text).Defects).Place);
    }

    /// <summary>What no schema can say: one figure against another. Each has exactly the one defect.</summary>
    [Theory]
    [InlineData("vessels.0.precharge.lowerLimitBarGauge", "100", "vessels[0].precharge.lowerLimitBarGauge")]
    [InlineData("vessels.0.precharge.upperLimitBarGauge", "100", "vessels[0].precharge.upperLimitBarGauge")]
    [InlineData("vessels.0.workingPressure", """{ "p1BarGauge": 99, "p2BarGauge": 210 }""", "vessels[0].workingPressure.p1BarGauge")]
    [InlineData("vessels.0.workingPressure", """{ "p1BarGauge": 120, "p2BarGauge": 120 }""", "vessels[0].workingPressure.p2BarGauge")]
    [InlineData("vessels.0.sensors.gasPressure.rangeBar", "[400, 0]", "vessels[0].sensors.gasPressure.rangeBar")]
    [InlineData("vessels.0.sensors.gasPressure.rangeBar", "[0, 100]", "vessels[0].sensors.gasPressure.rangeBar")]
    [InlineData("vessels.0.sensors.gasPressure.rangeBar", "[95, 400]", "vessels[0].sensors.gasPressure.rangeBar")]
    [InlineData("vessels.0.sensors.gasPressure.rangeBar", "[0, 200]", "vessels[0].sensors.gasPressure.rangeBar")]
    [InlineData("vessels.0.sensors.fluidPressure.rangeBar", "[0, 200]", "vessels[0].sensors.fluidPressure.rangeBar")]
    [InlineData("vessels.0.sensors.gasTemperature.rangeCelsius", "[50, 50]", "vessels[0].sensors.gasTemperature.rangeCelsius")]
    [InlineData("vessels.1.sensors.gasPressure.rangeBar", "[-1, 250]", "vessels[1].sensors.gasPressure.rangeBar[0]")]
    [InlineData("vessels.1.sensors.gasPressure.rangeBar", "[0, 67]", "vessels[1].sensors.gasPressure.rangeBar")]
    [InlineData("vessels.1.id", "\"pu1-a1\"", "vessels[1].id")]
    [InlineData("vessels.0.sensors.fluidPressure.name", "\"gas-pressure\"", "vessels[0].sensors.fluidPressure.name")]
    [InlineData("vessels.0.sensors.fluidPressure.name", null, "vessels[0].sensors.fluidPressure")]
    [InlineData("vessels.1.sensors.gasTemperature.topic", "\"works/pu1/a2/p\"", "vessels[1].sensors.gasPressure")]
    [InlineData("vessels.0.charges.1", "\"2025-06-03T07:30:00Z\"", "vessels[0].charges[1]")]
    [InlineData("vessels.0.charges.0", "\"2025-06-03T07:30:00\"", "vessels[0].charges[0]")]
    [InlineData("vessels.0.transducerChanges.0", "\"2025-02-29T07:30:00Z\"", "vessels[0].transducerChanges[0]")]
    [InlineData("vessels.0.charges.0", "\"2025-02-29T07:30:00Z\"", "vessels[0].charges[0]")]
    public void Figures_that_contradict_each_other_are_defects(string path, string? json, string place)
    {
        RegisterOutcome outcome = RegisterReader.Read(RegisterDocuments.With(path, json));
        Assert.Equal(place, Assert.Single(outcome.Defects).Place);
    }

    /// <summary>They stand in every job, and what is kept of a vessel is bounded.</summary>
    [Theory]
    [InlineData("description")]
    [InlineData("place")]
    public void Words_of_a_vessel_are_no_longer_than_a_line(string name)
    {
        RegisterOutcome Read(int length) => RegisterReader.Read(RegisterDocuments.With($"vessels.1.{name}", $"\"{new string('x', length)}\""));
        Assert.Empty(Read(RegisterReader.LongestText).Defects);
        Assert.Equal($"vessels[1].{name}", Assert.Single(Read(RegisterReader.LongestText + 1).Defects).Place);
    }
}
