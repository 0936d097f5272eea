namespace DriftWatch.Web.Tests;

/// <summary>The checked-out tree that the tests run in.</summary>
internal static class Repository
{
    public static string Root { get; } = Find();

    public static string SampleStreams { get; } = Path.Combine(Root, "sample-streams");

    private static string Find()
    {
        string? folder = AppContext.BaseDirectory;
        while (folder is not null && !File.Exists(Path.Combine(folder, "DriftWatch.sln")))
        {
            folder = Path.GetDirectoryName(folder);
        }

        return folder ?? throw new InvalidOperationException("The tests do not run inside the source tree.");
    }
}
