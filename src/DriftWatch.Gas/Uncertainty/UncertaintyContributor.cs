namespace DriftWatch.Gas.Uncertainty;

/// <summary>One line of an uncertainty budget (JCGM 100, 5.1): an input quantity and how the result answers to it.</summary>
public sealed record UncertaintyContributor
{
    /// <summary>Takes one line.</summary>
    /// <param name="name">Name of the input quantity; unique in its budget.</param>
    /// <param name="sensitivity">Partial derivative of the result by the input, in the unit of the result per unit of the input; finite.</param>
    /// <param name="input">Uncertainty of the input.</param>
    /// <param name="inputUnit">Unit of the input, "1" for a pure number.</param>
    /// <param name="sharing">Whether the error is shared by all points of the sensor.</param>
    /// <exception cref="ArgumentException">No name, or a sensitivity that is not a finite number.</exception>
    public UncertaintyContributor(string name, double sensitivity, InputUncertainty input, string inputUnit, Sharing sharing)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(name);
        Name = name;
        Sensitivity = double.IsFinite(sensitivity)
            ? sensitivity
            : throw new ArgumentException($"Sensitivity of '{name}' is no finite number; check the estimate it was taken at.", nameof(sensitivity));
        Input = input;
        InputUnit = inputUnit;
        Sharing = sharing;
    }

    /// <summary>Name of the input quantity.</summary>
    public string Name { get; }

    /// <summary>Partial derivative of the result by the input, in the unit of the result per <see cref="InputUnit"/>.</summary>
    public double Sensitivity { get; }

    /// <summary>Uncertainty of the input, in <see cref="InputUnit"/>.</summary>
    public InputUncertainty Input { get; }

    /// <summary>Unit of the input, "1" for a pure number.</summary>
    public string InputUnit { get; }

    /// <summary>Whether the error is shared by all points of the sensor.</summary>
    public Sharing Sharing { get; }

    /// <summary>The part of the result's standard uncertainty that comes from this input, in the unit of the result; 0 or above.</summary>
    public double StandardUncertaintyOfResult => Math.Abs(Sensitivity) * Input.StandardUncertainty;
}
