using DriftWatch.SamplePlant;

namespace DriftWatch.Study;

/// <summary>Runs seeded trials on all cores; each has its own numbers, so the outcome does not depend on the cores.</summary>
public static class Trials
{
    /// <summary>Outcomes of trials in their order.</summary>
    /// <param name="purpose">Name of the study: seeds the numbers beside the trial's index.</param>
    /// <param name="count">Number of trials.</param>
    /// <param name="trial">One trial.</param>
    public static T[] Run<T>(string purpose, int count, Func<Dice, T> trial)
    {
        var outcomes = new T[count];
        Parallel.For(0, count, i => outcomes[i] = trial(new Dice((ulong)i, "study", purpose)));
        return outcomes;
    }
}
