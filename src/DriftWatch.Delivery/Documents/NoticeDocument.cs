namespace DriftWatch.Delivery.Documents;

/// <summary>
/// What the documents of jobs and alarms have in common: the version of their form, and the context attributes of
/// CloudEvents 1.0 under their own names, so that an envelope takes them as they are.
/// </summary>
public abstract record NoticeDocument
{
    /// <summary>Version of the document's form, by the program that wrote it.</summary>
    public required string SchemaVersion { get; init; }

    /// <summary>Key of the notice: the same for every repetition, by which a receiver tells it from a new one.</summary>
    public required string Id { get; init; }

    /// <summary>Event type, such as <c>driftwatch.job.opened</c>.</summary>
    public required string Type { get; init; }

    /// <summary>URI reference of the vessel that the notice is about.</summary>
    public required string Source { get; init; }

    /// <summary>The vessel's id.</summary>
    public required string Subject { get; init; }

    /// <summary>When it came to be so, UTC.</summary>
    public required DateTimeOffset Time { get; init; }

    /// <summary>Name of the schema that it is written by. Not part of the document.</summary>
    internal abstract string DataSchema { get; }

    /// <summary>The document as JSON, UTF-8, indented: people read it too.</summary>
    public abstract byte[] ToUtf8Json();

    /// <summary>The source of a vessel's notices.</summary>
    private protected static string SourceOf(string vesselId) => $"/driftwatch/vessels/{Uri.EscapeDataString(vesselId)}";
}
