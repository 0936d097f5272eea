namespace DriftWatch.Gas.Nitrogen;

/// <summary>
/// Interpolation at Chebyshev nodes on -1 to 1, handed over as plain powers: a few hundred machine epsilons are lost in the change
/// of basis at the degrees used here, and a power series takes one fused multiply-add a term.
/// </summary>
internal static class Chebyshev
{
    /// <summary>Node <paramref name="k"/> of the interpolation with <paramref name="degree"/> + 1 nodes.</summary>
    public static double Node(int k, int degree) => Math.Cos(Math.PI * (k + 0.5) / (degree + 1));

    /// <summary>Coefficients of the powers 0 to n of the polynomial through the values at the n + 1 nodes.</summary>
    public static double[] ToPowers(ReadOnlySpan<double> valuesAtNodes)
    {
        int degree = valuesAtNodes.Length - 1;
        double[] powers = new double[degree + 1];
        double[] previous = new double[degree + 1];
        double[] current = new double[degree + 1];
        current[0] = 1;
        for (int j = 0; j <= degree; j++)
        {
            double coefficient = 0;
            for (int k = 0; k <= degree; k++)
            {
                coefficient += valuesAtNodes[k] * Math.Cos(Math.PI * j * (k + 0.5) / (degree + 1));
            }

            coefficient *= (j == 0 ? 1.0 : 2.0) / (degree + 1);
            for (int i = 0; i <= j; i++)
            {
                powers[i] += coefficient * current[i];
            }

            // T(j+1) = 2 x T(j) - T(j-1), but T(1) = x.
            double[] next = new double[degree + 1];
            for (int i = 0; i < degree; i++)
            {
                next[i + 1] = (j == 0 ? 1 : 2) * current[i];
            }

            for (int i = 0; i <= degree && j > 0; i++)
            {
                next[i] -= previous[i];
            }

            (previous, current) = (current, next);
        }

        return powers;
    }
}
