using DriftWatch.Plant.Records;
using DriftWatch.Plant.Register;

namespace DriftWatch.Plant.Tests.Register;

/// <summary>The register in use: the file with the work on record, swapped whole.</summary>
public sealed class LiveRegisterTests
{
    private static readonly DateTimeOffset Noon = new(2025, 7, 1, 12, 0, 0, TimeSpan.Zero);

    [Fact]
    public void Work_on_record_stands_beside_that_of_the_file_in_order_of_time()
    {
        Book book = new();
        LiveRegister live = new(Read(RegisterDocuments.Good), book);
        DateTimeOffset[] ofFile = [.. live.Current.Find("PU1-A1")!.RecordedCharges.Select(charge => charge.At)];
        Assert.Equal(2, ofFile.Length);

        Assert.Equal(WorkOutcome.Recorded, live.Record(Work(1, "PU1-A1", WorkKind.Charge, ofFile[0].AddDays(1), 101)));
        Assert.Equal(WorkOutcome.Recorded, live.Record(Work(2, "PU1-A1", WorkKind.Check, Noon, 98)));
        Assert.Equal(WorkOutcome.Recorded, live.Record(Work(3, "PU1-A1", WorkKind.TransducerChange, Noon.AddDays(1))));
        Vessel vessel = live.Current.Find("PU1-A1")!;
        Assert.Equal(Noon.AddDays(1), vessel.TransducerChanges[^1]);
        Assert.Equal([ofFile[0], ofFile[0].AddDays(1), ofFile[1]], vessel.RecordedCharges.Select(charge => charge.At));
        Assert.Equal([null, 101, null], vessel.RecordedCharges.Select(charge => charge.Pressure?.Bar));
        Assert.Equal(98, Assert.Single(vessel.RecordedChecks).Pressure!.Value.Bar, 12);
    }

    [Fact]
    public void A_void_record_counts_no_more()
    {
        Book book = new();
        LiveRegister live = new(Read(RegisterDocuments.Good), book);
        Vessel before = live.Current.Find("PU1-A1")!;
        WorkRecord record = Work(1, "PU1-A1", WorkKind.Charge, Noon);
        live.Record(record);
        Assert.Equal(WorkOutcome.Recorded, live.Void(new WorkVoid(Guid.NewGuid(), record.Id, "H. Example", "wrong vessel", RecordSource.Page, Noon)));
        Assert.Equal(before.RecordedCharges, live.Current.Find("PU1-A1")!.RecordedCharges);
    }

    [Fact]
    public void Vessels_that_are_as_before_stay_the_same_object_and_others_are_named()
    {
        LiveRegister live = new(Read(RegisterDocuments.Good), new Book());
        VesselRegister first = live.Current;
        List<RegisterChange> changes = [];
        live.Changed += changes.Add;

        live.Replace(Read(RegisterDocuments.Good));
        Assert.Empty(changes);

        live.Record(Work(1, "PU1-A2", WorkKind.Check, Noon));
        Assert.Equal(["PU1-A2"], Assert.Single(changes).Vessels);
        Assert.Same(first.Find("PU1-A1"), live.Current.Find("PU1-A1"));
        Assert.NotSame(first.Find("PU1-A2"), live.Current.Find("PU1-A2"));

        live.Replace(Read(RegisterDocuments.With("vessels.0.precharge.lowerLimitBarGauge", "91")));
        Assert.Equal(["PU1-A1"], changes[1].Vessels);
        Assert.Single(live.Current.Find("PU1-A2")!.RecordedChecks);
        Assert.Equal(91, live.Current.Find("PU1-A1")!.Specification.LowerLimit.Bar, 12);
    }

    [Fact]
    public void Work_of_a_vessel_that_the_register_lacks_is_refused() =>
        Assert.Throws<ArgumentException>("record", () => new LiveRegister(Read(RegisterDocuments.Good), new Book()).Record(Work(1, "PU9", WorkKind.Check, Noon)));

    [Fact]
    public void What_another_wrote_into_the_book_is_taken_in_when_asked()
    {
        Book book = new();
        LiveRegister live = new(Read(RegisterDocuments.Good), book);
        book.Record(Work(1, "PU1-A2", WorkKind.Charge, Noon));
        Assert.Empty(live.Current.Find("PU1-A2")!.RecordedCharges);
        live.TakeInWork();
        Assert.Equal([Noon], live.Current.Find("PU1-A2")!.RecordedCharges.Select(charge => charge.At));
    }

    /// <summary>A charge that the file has too is one charge, with the values that the book knows of.</summary>
    [Fact]
    public void A_charge_that_is_on_record_twice_is_one_charge_with_the_values_it_left()
    {
        LiveRegister live = new(Read(RegisterDocuments.Good), new Book());
        DateTimeOffset at = live.Current.Find("PU1-A1")!.RecordedCharges[0].At;
        live.Record(Work(1, "PU1-A1", WorkKind.Charge, at, 99));
        live.Record(Work(2, "PU1-A1", WorkKind.Charge, at));
        Vessel vessel = live.Current.Find("PU1-A1")!;
        Assert.Equal(2, vessel.RecordedCharges.Count);
        Assert.Equal(99, vessel.RecordedCharges[0].Pressure!.Value.Bar, 12);
    }

    private static VesselRegister Read(string text) => RegisterReader.Read(text).Register!;

    private static WorkRecord Work(int id, string vessel, WorkKind kind, DateTimeOffset at, double? bar = null) => new()
    {
        Id = new Guid(id, 0, 0, [0, 0, 0, 0, 0, 0, 0, 0]),
        VesselId = vessel,
        Kind = kind,
        At = at,
        Who = "M. Fitter",
        GasPressureBarGauge = bar,
        GasTemperatureCelsius = bar is null ? null : 20,
        IsolatedAndReleased = true,
        Source = RecordSource.Page,
        EnteredBy = "m.fitter",
        Received = Noon.AddYears(1),
    };

    /// <summary>A book in memory; that of the store is tested with the store.</summary>
    private sealed class Book : IWorkBook
    {
        private readonly List<WorkEntry> _entries = [];
        private long _sequence;

        public WorkOutcome Record(WorkRecord record)
        {
            _entries.Add(new WorkEntry(++_sequence, record, null));
            return WorkOutcome.Recorded;
        }

        public WorkOutcome Void(WorkVoid voiding)
        {
            int at = _entries.FindIndex(entry => entry.Record.Id == voiding.RecordId);
            _entries[at] = _entries[at] with { Voided = voiding };
            _sequence++;
            return WorkOutcome.Recorded;
        }

        public IReadOnlyList<WorkEntry> WorkOf(string vesselId) => [.. _entries.Where(entry => entry.Record.VesselId == vesselId)];

        public IReadOnlyList<WorkEntry> Work() => _entries;

        public long NewestWork() => _sequence;
    }
}
