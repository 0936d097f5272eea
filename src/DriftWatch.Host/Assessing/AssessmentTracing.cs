using System.Diagnostics;

namespace DriftWatch.Host.Assessing;

/// <summary>The traces of the assessment; they cost nothing while nobody listens.</summary>
internal static class AssessmentTracing
{
    /// <summary>Name of the source.</summary>
    public const string Name = "DriftWatch.Assessment";

    public static readonly ActivitySource Source = new(Name);
}
