namespace DriftWatch.Acquisition.Mqtt;

/// <summary>A password, read from where it is kept each time it is needed, and kept nowhere else.</summary>
internal static class MqttSecret
{
    /// <summary>The password; null where neither place is given.</summary>
    /// <exception cref="InvalidDataException">The file is empty.</exception>
    /// <exception cref="InvalidOperationException">The environment variable is not set.</exception>
    public static string? Read(string? environmentVariable, string? file)
    {
        if (file is not null)
        {
            using StreamReader reader = new(file);
            return reader.ReadLine() ?? throw new InvalidDataException($"The password file {file} is empty.");
        }

        return environmentVariable is not null
            ? Environment.GetEnvironmentVariable(environmentVariable)
                ?? throw new InvalidOperationException($"The environment variable {environmentVariable}, which is to hold the broker's password, is not set.")
            : null;
    }
}
