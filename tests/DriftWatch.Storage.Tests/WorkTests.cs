using DriftWatch.Plant.Records;
using DriftWatch.Plant.Register;
using DriftWatch.Storage.Tests.Support;

namespace DriftWatch.Storage.Tests;

/// <summary>Work on record is added to and never changed.</summary>
public sealed class WorkTests : IDisposable
{
    private readonly StoreFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_record_comes_back_as_it_was_after_a_restart()
    {
        WorkRecord record = Record(1) with { GasPressureBarGauge = 100.0 / 3, NitrogenKg = 0.1, GaugeId = "G-7", Note = "zwei \"Flaschen\"", JobKey = "k" };
        using (PlantStore store = _folder.Open())
        {
            Assert.Equal(0, store.NewestWork());
            Assert.Equal(WorkOutcome.Recorded, store.Record(record));
            Assert.Equal(1, store.NewestWork());
        }

        using PlantStore again = _folder.Open();
        Assert.Equal(new WorkEntry(1, record, null), Assert.Single(again.WorkOf("V-1")));
        Assert.Empty(again.WorkOf("V-2"));
    }

    [Fact]
    public void The_same_id_twice_is_one_record_and_another_record_under_it_is_refused()
    {
        using PlantStore store = _folder.Open();
        Assert.Equal(WorkOutcome.Recorded, store.Record(Record(1)));
        Assert.Equal(WorkOutcome.Repeated, store.Record(Record(1) with { Received = Given.Instant(30), EnteredBy = "another" }));
        Assert.Equal(WorkOutcome.IdUsed, store.Record(Record(1) with { GasPressureBarGauge = 91 }));
        Assert.Equal(WorkOutcome.IdUsed, store.Void(Void(1, of: 1)));
        Assert.Equal(Record(1), Assert.Single(store.Work()).Record);
    }

    [Fact]
    public void A_void_record_stands_with_who_and_why_and_is_void_once()
    {
        using PlantStore store = _folder.Open();
        store.Record(Record(1));
        store.Record(Record(2));
        Assert.Equal(WorkOutcome.NoSuchRecord, store.Void(Void(8, of: 9)));
        Assert.Equal(WorkOutcome.Recorded, store.Void(Void(8, of: 1)));
        Assert.Equal(3, store.NewestWork());
        Assert.Equal(WorkOutcome.Repeated, store.Void(Void(8, of: 1) with { Received = Given.Instant(99) }));
        Assert.Equal(WorkOutcome.VoidAlready, store.Void(Void(7, of: 1)));
        Assert.Equal(WorkOutcome.NoSuchRecord, store.Void(Void(7, of: 8)));
        Assert.Equal(WorkOutcome.IdUsed, store.Record(Record(8)));
        Assert.Equal([Void(8, of: 1), null], store.Work().Select(entry => entry.Voided));
    }

    [Fact]
    public void Faults_are_told_and_nothing_is_written()
    {
        using PlantStore store = _folder.Open();
        ArgumentException told = Assert.Throws<ArgumentException>(() => store.Record(Record(1) with { Who = "", NitrogenKg = double.NaN }));
        Assert.Contains("who", told.Message, StringComparison.Ordinal);
        Assert.Contains("nitrogenKg", told.Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentException>(() => store.Void(Void(8, of: 1) with { Why = "" }));
        Assert.Equal(0, store.NewestWork());
    }

    [Fact]
    public void The_register_audit_is_kept_by_vessel_newest_first_with_the_text_it_led_to()
    {
        using PlantStore store = _folder.Open();
        Assert.Null(store.AuditedText());
        RegisterAuditEntry first = new(Given.Instant(1), "H. Example", RecordSource.Page, "V-1", "precharge.lowerLimitBarGauge", "90", "91");
        RegisterAuditEntry second = new(Given.Instant(2), "", RecordSource.File, "V-1", "charges", null, "[]");
        RegisterAuditEntry beside = new(Given.Instant(2), "", RecordSource.File, "", "calendar.leadTimeDays", "2", null);
        store.Record([first], "one");
        store.Record([second, beside], "two");
        Assert.Equal("two", store.AuditedText());
        Assert.Equal([second, first], store.Audit("V-1", 10));
        Assert.Equal([beside], store.Audit("", 10));
        Assert.Equal([beside, second], store.Audit(null, 2));
    }

    private static WorkRecord Record(byte id) => new()
    {
        Id = Id(id),
        VesselId = "V-1",
        Kind = WorkKind.Charge,
        At = Given.Instant(1),
        Who = "M. Fitter",
        GasPressureBarGauge = 90,
        GasTemperatureCelsius = 20,
        IsolatedAndReleased = true,
        Source = RecordSource.Api,
        EnteredBy = "m.fitter",
        Received = Given.Instant(2),
    };

    private static WorkVoid Void(byte id, byte of) => new(Id(id), Id(of), "H. Example", "wrong vessel", RecordSource.Page, Given.Instant(3));

    private static Guid Id(byte id) => new(id, 0, 0, [0, 0, 0, 0, 0, 0, 0, 0]);
}
