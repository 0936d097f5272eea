namespace DriftWatch.Gas.Nitrogen;

/// <summary>
/// Coefficients as published: Span, Lemmon, Jacobsen, Wagner, Yokozeki, J. Phys. Chem. Ref. Data 29 (2000) 1361, tables of the
/// reduced Helmholtz energy.
/// </summary>
internal static class NitrogenCoefficients
{
    public const double CriticalTemperatureK = 126.192;
    public const double CriticalDensityMolPerM3 = 11_183.9;

    /// <summary>The gas constant the equation was fitted with, J/(mol K); another one would shift every pressure.</summary>
    public const double GasConstantJPerMolK = 8.31451;

    public const int TermCount = 36;

    /// <summary>Terms n delta^d tau^t exp(-delta^l); no exponential where l is 0.</summary>
    public static readonly PowerTerm[] Power =
    [
        new(0.924803575275, 1, 0.25, 0),
        new(-0.492448489428, 1, 0.875, 0),
        new(0.661883336938, 2, 0.5, 0),
        new(-1.92902649201, 2, 0.875, 0),
        new(-0.0622469309629, 3, 0.375, 0),
        new(0.349943957581, 3, 0.75, 0),
        new(0.564857472498, 1, 0.5, 1),
        new(-1.61720005987, 1, 0.75, 1),
        new(-0.481395031883, 1, 2, 1),
        new(0.421150636384, 3, 1.25, 1),
        new(-0.0161962230825, 3, 3.5, 1),
        new(0.172100994165, 4, 1, 1),
        new(0.00735448924933, 6, 0.5, 1),
        new(0.0168077305479, 6, 3, 1),
        new(-0.00107626664179, 7, 0, 1),
        new(-0.0137318088513, 7, 2.75, 1),
        new(0.000635466899859, 8, 0.75, 1),
        new(0.00304432279419, 8, 2.5, 1),
        new(-0.0435762336045, 1, 4, 2),
        new(-0.0723174889316, 2, 6, 2),
        new(0.0389644315272, 3, 6, 2),
        new(-0.0212201363910, 4, 3, 2),
        new(0.00408822981509, 5, 3, 2),
        new(-0.0000551990017984, 8, 6, 2),
        new(-0.0462016716479, 4, 16, 3),
        new(-0.00300311716011, 5, 11, 3),
        new(0.0368825891208, 5, 15, 3),
        new(-0.00255856846220, 8, 12, 3),
        new(0.00896915264558, 3, 12, 4),
        new(-0.00441513370350, 5, 7, 4),
        new(0.00133722924858, 6, 4, 4),
        new(0.000264832491957, 9, 16, 4),
    ];

    /// <summary>Terms n delta^d tau^t exp(-phi (delta - 1)^2 - beta (tau - gamma)^2).</summary>
    public static readonly GaussianTerm[] Gaussian =
    [
        new(19.6688194015, 1, 0, 20, 325, 1.16),
        new(-20.9115600730, 1, 1, 20, 325, 1.16),
        new(0.0167788306989, 3, 2, 15, 300, 1.13),
        new(2627.67566274, 2, 3, 25, 275, 1.25),
    ];

    internal readonly record struct PowerTerm(double N, int D, double T, int L);

    internal readonly record struct GaussianTerm(double N, int D, double T, double Phi, double Beta, double Gamma);
}
