using System.Diagnostics;

namespace DriftWatch.Acquisition.Committing;

/// <summary>The traces of acquisition; they cost nothing while nobody listens.</summary>
public static class CommitTracing
{
    /// <summary>Name of the source.</summary>
    public const string Name = "DriftWatch.Acquisition";

    internal static readonly ActivitySource Source = new(Name);
}
