using System.Globalization;

namespace DriftWatch.Gas;

/// <summary>Guards that accept the good, so that NaN is refused too.</summary>
internal static class Require
{
    /// <summary>Returns the value when it lies from <paramref name="lowest"/> to <paramref name="highest"/>, both ends allowed.</summary>
    public static double Within(double value, double lowest, double highest, string parameter, string what, string unit, string remedy)
    {
        if (value >= lowest && value <= highest)
        {
            return value;
        }

        throw new ArgumentOutOfRangeException(parameter, value, string.Create(
            CultureInfo.InvariantCulture,
            $"{what} is {value} {unit}; allowed is {lowest} to {highest} {unit}, ends included. {remedy}"));
    }
}
