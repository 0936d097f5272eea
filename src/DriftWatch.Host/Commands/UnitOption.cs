using System.CommandLine;
using DriftWatch.Gas.Units;
using DriftWatch.Host.Settings;

namespace DriftWatch.Host.Commands;

/// <summary>The option for the pressure unit that people see.</summary>
internal static class UnitOption
{
    public static Option<string> Create()
    {
        Option<string> option = new("--unit") { Description = $"Unit of pressure shown: {Units.Names}.", DefaultValueFactory = _ => "bar" };
        option.Validators.Add(result =>
        {
            string text = result.GetValueOrDefault<string>() ?? "";
            if (!Units.TryParse(text, out _))
            {
                result.AddError($"'{text}' is not a unit of pressure: give {Units.Names}.");
            }
        });
        return option;
    }

    public static PressureUnit Value(ParseResult parsed, Option<string> option) =>
        Units.TryParse(parsed.GetRequiredValue(option), out PressureUnit? unit) ? unit : throw new InvalidOperationException("The unit was not checked.");
}
