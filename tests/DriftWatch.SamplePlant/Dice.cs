using System.Numerics;

namespace DriftWatch.SamplePlant;

/// <summary>
/// Random numbers that are the same on every machine and runtime: xoshiro256** seeded by splitmix64
/// (Blackman and Vigna, ACM Trans. Math. Softw. 47 (2021) 36).
/// </summary>
/// <remarks>
/// Each purpose of each vessel has its own stream, so that a change of one (a longer shift, another noise)
/// leaves the others as they were.
/// </remarks>
public sealed class Dice
{
    private readonly ulong[] _state = new ulong[4];

    /// <param name="seed">Any value.</param>
    /// <param name="vesselId">Whose numbers these are.</param>
    /// <param name="purpose">What they are for.</param>
    public Dice(ulong seed, string vesselId, string purpose)
    {
        ulong mixed = seed;
        foreach (char letter in vesselId + "/" + purpose)
        {
            mixed = (mixed ^ letter) * 0x100000001B3UL;
        }

        for (int i = 0; i < _state.Length; i++)
        {
            mixed += 0x9E3779B97F4A7C15UL;
            ulong z = mixed;
            z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9UL;
            z = (z ^ (z >> 27)) * 0x94D049BB133111EBUL;
            _state[i] = z ^ (z >> 31);
        }
    }

    /// <summary>Uniform in [0, 1).</summary>
    public double Uniform()
    {
        return (Next() >> 11) * (1.0 / (1UL << 53));
    }

    /// <summary>Uniform in [<paramref name="low"/>, <paramref name="high"/>).</summary>
    public double Uniform(double low, double high)
    {
        return low + ((high - low) * Uniform());
    }

    /// <summary>Uniform whole number in [<paramref name="low"/>, <paramref name="high"/>], both included.</summary>
    public int Whole(int low, int high)
    {
        return low + (int)(Uniform() * (high - low + 1));
    }

    /// <summary>Normal with mean 0 and standard deviation 1 (Box and Muller 1958).</summary>
    public double Normal()
    {
        double radius = Math.Sqrt(-2 * Math.Log(1 - Uniform()));
        return radius * Math.Cos(2 * Math.PI * Uniform());
    }

    private ulong Next()
    {
        ulong result = BitOperations.RotateLeft(_state[1] * 5, 7) * 9;
        ulong shifted = _state[1] << 17;
        _state[2] ^= _state[0];
        _state[3] ^= _state[1];
        _state[1] ^= _state[2];
        _state[0] ^= _state[3];
        _state[2] ^= shifted;
        _state[3] = BitOperations.RotateLeft(_state[3], 45);
        return result;
    }
}
