using System.Reflection;
using DriftWatch.Gas.Nitrogen;

namespace DriftWatch.Gas.Tests;

/// <summary>Rules that hold for every public type of the gas house.</summary>
public class HouseRulesTests
{
    private static readonly Type[] PublicTypes = [.. typeof(NitrogenEquation).Assembly.GetExportedTypes()];

    /// <summary>Units a name may end in, alone or 'per' another: Pa, mol/m3 as MolPerM3 and the like, and trade units at the edges.</summary>
    private static readonly string[] Units =
    [
        "Pa", "Pascals", "Bar", "K", "Kelvins", "Kelvin", "DegreesCelsius", "S", "M", "M3", "MPerS", "CubicMetres", "Litres",
        "Moles", "Mole", "Mol", "J", "Grams", "GramsOfNitrogen", "Kilograms", "KilogramsOfNitrogen", "PascalCubicMetresPerSecond", "Second", "Year",
        "Month", "Minute", "StandardCubicCentimetres", "Millibar", "MillibarLitres", "PascalCubicMetres", "StandardLitres", "MolesPerSecond", "Pascal",
        "Joules", "MoleKelvin", "JoulesPerMoleKelvin", "Fraction", "Factor",
    ];

    /// <summary>Figures without a unit in their name, each with the reason.</summary>
    private static readonly Dictionary<string, string> PureNumbers = new()
    {
        ["CompressibilityFactor"] = "pure number",
        ["ShareOfVariance"] = "fraction",
        ["CoverageProbability"] = "fraction",
        ["Coefficient"] = "correlation coefficient",
        ["DegreesOfFreedom"] = "count",
        ["EffectiveDegreesOfFreedom"] = "count",
        ["HighestRatio"] = "pressure ratio",
        ["RatioLimit"] = "pressure ratio",
        ["RatioNow"] = "pressure ratio",
        ["ChokedPressureRatio"] = "pressure ratio",
        ["LowestOverPrechargeNow"] = "pressure ratio",
        ["FractionOfWorkingPressure"] = "fraction",
        ["Highest"] = "ratio limit; or the bound of a refused value, whose unit stands beside it",
        ["TimeConstants"] = "count",
        ["Value"] = "refused value, whose unit stands beside it",
        ["Lowest"] = "bound of a refused value, whose unit stands beside it",

        // A budget serves results of any unit; it carries the unit as text.
        ["Sensitivity"] = "unit of the result per unit of the input",
        ["StandardUncertainty"] = "unit of the input",
        ["StandardUncertaintyOfResult"] = "unit of the result",
        ["Estimate"] = "unit of the result",
        ["CombinedStandardUncertainty"] = "unit of the result",
        ["RandomStandardUncertainty"] = "unit of the result",
        ["SharedStandardUncertainty"] = "unit of the result",
        ["HalfWidth"] = "unit of the result",
        ["ExpandedUncertainty"] = "unit of the input",
        ["Amplitude"] = "unit of the input",
        ["Step"] = "unit of the input",
        ["StandardDeviation"] = "unit of the input",

        // The unit is the object.
        ["Number"] = "number of the unit it is asked of",
        ["From"] = "number of the unit it is asked of",
        ["PascalsPerUnit"] = "Pa per the unit it is asked of",
        ["CubicMetresPerUnit"] = "m3 per the unit it is asked of",
        ["NumberPerMolPerS"] = "the unit it is asked of per mol/s",
    };

    [Fact]
    public void Public_types_cannot_change() => Assert.All(PublicTypes, type =>
    {
        if (type.IsEnum || IsStatic(type))
        {
            return;
        }

        Assert.True(type.IsSealed, $"{type} is open for inheritance.");

        // What an exception inherits from the runtime is not ours to seal.
        Assert.All(
            type.GetFields(BindingFlags.Instance | BindingFlags.NonPublic | BindingFlags.Public).Where(field => field.DeclaringType!.Assembly == type.Assembly),
            field => Assert.True(field.IsInitOnly, $"{type}.{field.Name} can be written."));
        if (type.IsValueType)
        {
            Assert.True(type.IsDefined(typeof(System.Runtime.CompilerServices.IsReadOnlyAttribute)), $"{type} is no readonly struct.");
        }
    });

    [Fact]
    public void No_static_state_can_be_written() => Assert.All(
        typeof(NitrogenEquation).Assembly.GetTypes().Where(type => type.Namespace?.StartsWith("DriftWatch", StringComparison.Ordinal) == true && !type.Name.Contains('<')),
        type => Assert.All(
            type.GetFields(BindingFlags.Static | BindingFlags.NonPublic | BindingFlags.Public).Where(field => !field.Name.Contains('<') || field.Name.Contains("k__")),
            field => Assert.True(field.IsInitOnly || field.IsLiteral, $"{type}.{field.Name} can be written.")));

    [Fact]
    public void Every_public_figure_says_its_unit() => Assert.All(PublicFigures(), figure => Assert.True(
        SaysUnit(figure.Name) || PureNumbers.ContainsKey(figure.Name), $"{figure.Where}: the name '{figure.Name}' does not say its unit."));

    [Fact]
    public void The_check_of_unit_names_can_fail()
    {
        Assert.False(SaysUnit("Pressure"));
        Assert.False(SaysUnit("Spa"));
        Assert.False(SaysUnit("MolarDensity"));
        Assert.True(SaysUnit("PressureAtReferencePa"));
        Assert.True(SaysUnit("MolarDensityMolPerM3"));
        Assert.True(SaysUnit("InflowMolPerS"));
        Assert.Contains(PublicFigures(), figure => figure.Where.Contains("FastIsochoricCorrection", StringComparison.Ordinal) && figure.Name == "TemperaturesK");
    }

    [Fact]
    public void Every_exemption_is_still_needed() =>
        Assert.Empty(PureNumbers.Keys.Except(PublicFigures().Select(figure => figure.Name)));

    /// <summary>Name of each public double, or span of doubles, that goes in or out: properties, constants, parameters, results.</summary>
    private static IEnumerable<(string Where, string Name)> PublicFigures()
    {
        const BindingFlags all = BindingFlags.Public | BindingFlags.Instance | BindingFlags.Static | BindingFlags.DeclaredOnly;
        foreach (Type type in PublicTypes)
        {
            foreach (PropertyInfo property in type.GetProperties(all).Where(p => IsFigure(p.PropertyType)))
            {
                yield return (type.Name, property.Name);
            }

            foreach (FieldInfo field in type.GetFields(all).Where(f => IsFigure(f.FieldType)))
            {
                yield return (type.Name, field.Name);
            }

            foreach (MethodBase method in type.GetMembers(all).OfType<MethodBase>().Where(m => !m.IsSpecialName || m.IsConstructor))
            {
                // What a record makes by itself repeats its properties.
                if (method.Name == "Deconstruct")
                {
                    continue;
                }

                foreach (ParameterInfo parameter in method.GetParameters().Where(p => IsFigure(p.ParameterType)))
                {
                    yield return ($"{type.Name}.{method.Name}", char.ToUpperInvariant(parameter.Name![0]) + parameter.Name[1..]);
                }

                if (method is MethodInfo { ReturnType: { } result } && IsFigure(result))
                {
                    yield return (type.Name, method.Name);
                }
            }
        }
    }

    private static bool IsFigure(Type type) =>
        (Nullable.GetUnderlyingType(type) ?? type) == typeof(double) || type == typeof(ReadOnlySpan<double>) || type == typeof(Span<double>);

    private static bool SaysUnit(string name)
    {
        // 'At' closes a name whose temperature follows as an argument: MillibarLitresPerSecondAt(temperature).
        string plain = name.EndsWith("At", StringComparison.Ordinal) ? name[..^2] : name;
        return Units.Any(unit => plain == unit
            || (plain.EndsWith(unit, StringComparison.Ordinal) && plain.Length > unit.Length && !char.IsUpper(plain[^(unit.Length + 1)])));
    }

    private static bool IsStatic(Type type) => type is { IsAbstract: true, IsSealed: true };
}
