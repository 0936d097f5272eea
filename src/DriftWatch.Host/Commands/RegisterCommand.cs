using System.CommandLine;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.Register;

namespace DriftWatch.Host.Commands;

/// <summary>Checks a vessel register, or prints its schema.</summary>
internal static class RegisterCommand
{
    public static Command Create()
    {
        Argument<FileInfo> file = new("file") { Description = "The register file." };
        Command check = new("check", "Check a vessel register and tell every defect at once.") { file };
        check.SetAction(parsed =>
        {
            if (RegisterFile.Open(parsed.GetRequiredValue(file).FullName, Console.Error) is not { } register)
            {
                return ExitCode.BadInput;
            }

            Console.WriteLine($"{register.Plant}: {register.Vessels.Count} vessels, no defects.");
            return ExitCode.Done;
        });
        Command schema = new("schema", "Print the JSON Schema of the vessel register.");
        schema.SetAction(_ => Console.WriteLine(RegisterSchema.Text()));
        return new Command("register", "Work with the vessel register.") { check, schema };
    }
}
