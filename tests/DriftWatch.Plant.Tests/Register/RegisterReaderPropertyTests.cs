using CsCheck;
using DriftWatch.Plant.Register;

namespace DriftWatch.Plant.Tests.Register;

public class RegisterReaderPropertyTests
{
    [Fact]
    public void A_spoilt_file_gives_defects_or_a_register_and_never_throws()
    {
        // One stretch of the good file is replaced by other characters of it.
        string good = RegisterDocuments.Good;
        Gen.Select(Gen.Int[0, good.Length - 1], Gen.Int[0, 40], Gen.Int[0, good.Length - 1], Gen.Int[0, 40]).Sample(
            (from, length, source, taken) =>
            {
                string text = string.Concat(
                    good.AsSpan(..from),
                    good.AsSpan(source, Math.Min(taken, good.Length - source)),
                    good.AsSpan(Math.Min(good.Length, from + length)));
                RegisterOutcome outcome = RegisterReader.Read(text);
                return outcome.Register is null == outcome.Defects.Count > 0;
            },
            iter: 5_000);
    }
}
