using DriftWatch.Plant.Register;

namespace DriftWatch.Acquisition.Payloads;

/// <summary>How payloads are read, and how much of one is looked at.</summary>
public sealed record PayloadOptions
{
    /// <summary>Field of a plain JSON object that holds its time; default <c>time</c>.</summary>
    public string TimeField { get; init; } = "time";

    /// <summary>
    /// How plain JSON writes its time where the register does not say; default <see cref="SourceTime.Recognised"/>, and not
    /// <see cref="SourceTime.Arrival"/>, which is for the register to say of a source.
    /// </summary>
    public SourceTime Time { get; init; } = SourceTime.Recognised;

    /// <summary>Largest payload read, bytes; default 1 MiB, 1 to 256 MiB.</summary>
    public int LargestPayloadBytes { get; init; } = 1 << 20;

    /// <summary>Most records read of one payload; default 50 000, 1 or more.</summary>
    public int MostRecords { get; init; } = 50_000;

    /// <summary>Deepest nesting of JSON read; default 8, 2 to 64.</summary>
    public int DeepestNesting { get; init; } = 8;

    /// <summary>Throws where an option is out of its range, naming all that are.</summary>
    /// <exception cref="ArgumentException">One or more options are out of range.</exception>
    public void Validate()
    {
        List<string> faults = [];
        if (string.IsNullOrEmpty(TimeField))
        {
            faults.Add($"{nameof(TimeField)} is empty; name the field that holds the time.");
        }

        if (!Enum.IsDefined(Time) || Time == SourceTime.Arrival)
        {
            faults.Add($"{nameof(Time)} is {Time}; allowed are {string.Join(", ", Enum.GetNames<SourceTime>().Where(name => name != nameof(SourceTime.Arrival)))}.");
        }

        Check(nameof(LargestPayloadBytes), LargestPayloadBytes, 1, 256 << 20);
        Check(nameof(MostRecords), MostRecords, 1, int.MaxValue);
        Check(nameof(DeepestNesting), DeepestNesting, 2, 64);
        if (faults.Count > 0)
        {
            throw new ArgumentException(string.Join(" ", faults));
        }

        void Check(string name, int value, int lowest, int highest)
        {
            if (!(value >= lowest && value <= highest))
            {
                faults.Add(FormattableString.Invariant($"{name} is {value}; allowed is {lowest} to {highest}."));
            }
        }
    }
}
