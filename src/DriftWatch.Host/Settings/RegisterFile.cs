using DriftWatch.Plant.Register;

namespace DriftWatch.Host.Settings;

/// <summary>Opens the register file for a command.</summary>
internal static class RegisterFile
{
    /// <summary>The register; or null, with every defect told.</summary>
    public static VesselRegister? Open(string file, TextWriter errors)
    {
        string text;
        try
        {
            text = File.ReadAllText(file);
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            errors.WriteLine($"The vessel register cannot be read: {exception.Message}");
            return null;
        }

        RegisterOutcome outcome = RegisterReader.Read(text);
        if (outcome.Register is { } register)
        {
            return register;
        }

        errors.WriteLine($"{file} has {outcome.Defects.Count} defect{(outcome.Defects.Count == 1 ? "" : "s")}:");
        foreach (RegisterDefect defect in outcome.Defects)
        {
            errors.WriteLine("  " + defect);
        }

        return null;
    }
}
