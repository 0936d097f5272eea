using DriftWatch.Plant.Records;

namespace DriftWatch.Plant.Tests.Records;

public sealed class WorkRecordTests
{
    private static readonly WorkRecord Good = new()
    {
        Id = new Guid("0196a3b2-0000-7000-8000-000000000001"),
        VesselId = "T1",
        Kind = WorkKind.Charge,
        At = Bench.Start,
        Who = "M. Fitter",
        GasPressureBarGauge = 100,
        GasTemperatureCelsius = 20,
        NitrogenKg = 0.4,
        IsolatedAndReleased = true,
        Source = RecordSource.Page,
        EnteredBy = "m.fitter",
        Received = Bench.Start.AddHours(1),
    };

    private static WorkRecord Bare => Good with { GasPressureBarGauge = null, GasTemperatureCelsius = null, NitrogenKg = null };

    public static TheoryData<string, WorkRecord> Bad() => new()
    {
        { "id is missing", Good with { Id = Guid.Empty } },
        { "at is", Good with { At = Good.Received.AddMinutes(11) } },
        { "at is", Good with { At = Good.At.ToOffset(TimeSpan.FromHours(1)) } },
        { "at is", Good with { At = DateTimeOffset.MinValue } },
        { "who is missing", Good with { Who = " " } },
        { "gasPressureBarGauge is NaN", Good with { GasPressureBarGauge = double.NaN } },
        { "gasPressureBarGauge is 650.5", Good with { GasPressureBarGauge = 650.5 } },
        { "gasTemperatureCelsius is -40.5", Good with { GasTemperatureCelsius = -40.5 } },
        { "belongs to the pressure", Good with { GasTemperatureCelsius = null } },
        { "belongs to a charge", Good with { Kind = WorkKind.Check } },
        { "belongs to a charge or a check", Good with { Kind = WorkKind.TransducerChange, NitrogenKg = null } },
        { "nitrogenKg is -1", Good with { NitrogenKg = -1 } },
        { "isolatedAndReleased is not confirmed", Good with { IsolatedAndReleased = false } },
        { "record no check", Bare with { Kind = WorkKind.Check, IsolatedAndReleased = false } },
        { "note is too long", Good with { Note = new string('x', 2001) } },
        { "kind is unknown", Good with { Kind = (WorkKind)7, NitrogenKg = null } },
    };

    [Fact]
    public void A_good_record_has_no_faults() => Assert.Empty(Good.Faults());

    /// <summary>A check ends the job of a silent vessel and puts the next one off: of a fluid side that may have pressed on the gas there is none.</summary>
    [Fact]
    public void Without_values_a_charge_needs_no_released_fluid_side_and_a_check_does()
    {
        Assert.Empty((Bare with { IsolatedAndReleased = false }).Faults());
        Assert.Empty((Bare with { Kind = WorkKind.Check }).Faults());
        Assert.Single((Bare with { Kind = WorkKind.Check, IsolatedAndReleased = false }).Faults());
    }

    [Theory]
    [MemberData(nameof(Bad))]
    public void What_is_wrong_is_named_with_its_field(string says, WorkRecord record) =>
        Assert.Contains(says, Assert.Single(record.Faults()), StringComparison.Ordinal);

    [Fact]
    public void All_faults_are_told_at_once() => Assert.Equal(3, (Good with { Who = "", Id = Guid.Empty, NitrogenKg = double.NaN }).Faults().Count);

    [Fact]
    public void When_it_came_and_from_whom_makes_it_no_other_record()
    {
        Assert.True(Good.SaysTheSameAs(Good with { Received = Good.Received.AddDays(1), EnteredBy = "x", Source = RecordSource.Api }));
        Assert.False(Good.SaysTheSameAs(Good with { GasPressureBarGauge = 100.1 }));
    }

    [Fact]
    public void A_name_gives_one_id_of_version_8_and_another_name_another()
    {
        Guid id = RecordId.Of("answer", "wo-4711");
        Assert.Equal(id, RecordId.Of("answer", "wo-4711"));
        Assert.NotEqual(id, RecordId.Of("answer", "wo-4712"));
        Assert.NotEqual(id, RecordId.Of("import", "wo-4711"));

        // RFC 9562 section 5.8: version 8 in the 13th digit, variant 10xx in the 17th.
        Assert.Equal('8', id.ToString("N")[12]);
        Assert.Contains(id.ToString("N")[16], "89ab");
    }
}
