using DriftWatch.Acquisition.Files;

namespace DriftWatch.Host.Settings;

/// <summary>Opens a logger profile.</summary>
internal static class ProfileFile
{
    /// <summary>The profile, or that of the default columns where no file is named.</summary>
    /// <exception cref="InvalidDataException">The file holds no good profile.</exception>
    /// <exception cref="IOException">The file cannot be read.</exception>
    /// <exception cref="UnauthorizedAccessException">It must not be read.</exception>
    public static LoggerProfile Open(string? file)
    {
        if (file is null)
        {
            return new LoggerProfile();
        }

        try
        {
            return LoggerProfileJson.Read(File.ReadAllText(file));
        }
        catch (InvalidDataException exception)
        {
            throw new InvalidDataException($"{file}: {exception.Message}", exception);
        }
    }
}
