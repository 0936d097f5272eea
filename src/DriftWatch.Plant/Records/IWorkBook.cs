namespace DriftWatch.Plant.Records;

/// <summary>
/// Port: the work on record, append-only. What a member has recorded survives a crash. Whoever writes here lets the
/// <see cref="Register.LiveRegister"/> know, or writes through it.
/// </summary>
public interface IWorkBook
{
    /// <summary>Records work, once for each id.</summary>
    /// <exception cref="ArgumentException">The record has faults; all are named.</exception>
    WorkOutcome Record(WorkRecord record);

    /// <summary>Makes a record void, once for each id.</summary>
    /// <exception cref="ArgumentException">It has faults; all are named.</exception>
    WorkOutcome Void(WorkVoid voiding);

    /// <summary>All records of a vessel, void ones too, in the order in which they were taken in.</summary>
    IReadOnlyList<WorkEntry> WorkOf(string vesselId);

    /// <summary>The same of all vessels.</summary>
    IReadOnlyList<WorkEntry> Work();

    /// <summary>Number of the newest entry: it grows with each record and each voiding. 0 before the first.</summary>
    long NewestWork();
}
