namespace DriftWatch.Plant.Records;

/// <summary>The way by which a record came.</summary>
public enum RecordSource
{
    /// <summary>A form of the pages.</summary>
    Page,

    /// <summary>The interface for programs.</summary>
    Api,

    /// <summary>The answer of a maintenance queue to a job.</summary>
    Answer,

    /// <summary>A file: the register, or one that was imported.</summary>
    File,

    /// <summary>A command on the machine of the service.</summary>
    Command,
}
