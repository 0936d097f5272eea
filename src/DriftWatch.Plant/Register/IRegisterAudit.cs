namespace DriftWatch.Plant.Register;

/// <summary>Port: who changed what in the register, append-only. What a member has recorded survives a crash.</summary>
public interface IRegisterAudit
{
    /// <summary>Adds entries, and keeps the text of the register file that they lead to.</summary>
    void Record(IReadOnlyList<RegisterAuditEntry> entries, string text);

    /// <summary>The text of the register file up to which changes are recorded; null before the first.</summary>
    string? AuditedText();

    /// <summary>Entries of a vessel (null: all, the empty text: those beside the vessels), newest first.</summary>
    /// <param name="vesselId">The vessel.</param>
    /// <param name="limit">Most entries to give.</param>
    IReadOnlyList<RegisterAuditEntry> Audit(string? vesselId, int limit);
}
