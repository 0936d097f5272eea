namespace DriftWatch.Acquisition.Files;

/// <summary>A row of a logger file, or a part of it, that was not taken, or not without doubt.</summary>
/// <param name="File">Path of the file.</param>
/// <param name="Line">Line in the file, from 1; 0 where the whole file is meant.</param>
/// <param name="Reason">What is wrong and how to mend it.</param>
/// <param name="Text">The row as it stands in the file; empty where the whole file is meant.</param>
public sealed record RejectedRow(string File, int Line, string Reason, string Text)
{
    /// <summary>Whether it was taken all the same, and is told only because there is a doubt.</summary>
    public bool Taken { get; init; }
}
