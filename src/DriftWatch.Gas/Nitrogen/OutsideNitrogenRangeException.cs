using System.Globalization;

namespace DriftWatch.Gas.Nitrogen;

/// <summary>A temperature, pressure or density outside the range for which the nitrogen equation is used here.</summary>
public sealed class OutsideNitrogenRangeException : ArgumentOutOfRangeException
{
    /// <summary>States the value, the allowed range with its ends, and how to mend it.</summary>
    public OutsideNitrogenRangeException(
        string parameter, string what, double value, double lowest, double highest, string unit, string remedy)
        : base(parameter, value, string.Create(
            CultureInfo.InvariantCulture,
            $"{what} is {value} {unit}, outside the nitrogen range {lowest} to {highest} {unit}, ends included. {remedy}"))
    {
        What = what;
        Value = value;
        Lowest = lowest;
        Highest = highest;
        Unit = unit;
    }

    /// <summary>The quantity in words.</summary>
    public string What { get; }

    /// <summary>The value refused, in <see cref="Unit"/>; NaN where no number came.</summary>
    public double Value { get; }

    /// <summary>Lowest value taken, in <see cref="Unit"/>.</summary>
    public double Lowest { get; }

    /// <summary>Highest value taken, in <see cref="Unit"/>.</summary>
    public double Highest { get; }

    /// <summary>Unit of the three values.</summary>
    public string Unit { get; }
}
