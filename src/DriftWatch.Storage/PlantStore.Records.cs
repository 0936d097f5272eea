using DriftWatch.Plant.Following;
using DriftWatch.Plant.Records;
using DriftWatch.Plant.Register;
using DriftWatch.Storage.Tables;

namespace DriftWatch.Storage;

/// <summary>What people put on record.</summary>
public sealed partial class PlantStore : IWorkBook, IRegisterAudit
{
    /// <inheritdoc/>
    public WorkOutcome Record(WorkRecord record)
    {
        Refuse(record.Faults(), nameof(record));
        return _database.Write(session => WorkTable.Record(session, record));
    }

    /// <inheritdoc/>
    public WorkOutcome Void(WorkVoid voiding)
    {
        Refuse(voiding.Faults(), nameof(voiding));
        return _database.Write(session => WorkTable.Void(session, voiding));
    }

    /// <inheritdoc/>
    public IReadOnlyList<WorkEntry> WorkOf(string vesselId) => _database.Read(session => WorkTable.Of(session, vesselId));

    /// <inheritdoc/>
    public IReadOnlyList<WorkEntry> Work() => _database.Read(WorkTable.All);

    /// <inheritdoc/>
    public long NewestWork() => _database.Read(WorkTable.Newest);

    /// <inheritdoc/>
    public VesselBasis? BasisOf(string vesselId) => _database.Read(session => BasisTable.Of(session, vesselId));

    /// <inheritdoc/>
    public void Record(IReadOnlyList<RegisterAuditEntry> entries, string text) =>
        _database.Write(session => RegisterAuditTable.Record(session, entries, text));

    /// <inheritdoc/>
    public string? AuditedText() => _database.Read(RegisterAuditTable.Text);

    /// <inheritdoc/>
    public IReadOnlyList<RegisterAuditEntry> Audit(string? vesselId, int limit) =>
        _database.Read(session => RegisterAuditTable.Read(session, vesselId, limit));

    private static void Refuse(IReadOnlyList<string> faults, string name)
    {
        if (faults.Count > 0)
        {
            throw new ArgumentException(string.Join(Environment.NewLine, faults), name);
        }
    }
}
