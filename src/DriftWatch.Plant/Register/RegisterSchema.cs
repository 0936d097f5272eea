using System.Text;

namespace DriftWatch.Plant.Register;

/// <summary>The published JSON Schema (2020-12) of the register file, as the program carries it.</summary>
public static class RegisterSchema
{
    /// <summary>Reads the text of the schema.</summary>
    public static string Text()
    {
        using Stream stream = typeof(RegisterSchema).Assembly.GetManifestResourceStream("register.schema.json")
            ?? throw new InvalidOperationException("The register schema is not built into this program.");
        using StreamReader reader = new(stream, Encoding.UTF8);
        return reader.ReadToEnd();
    }
}
