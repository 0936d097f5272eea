using DriftWatch.Storage;

namespace DriftWatch.Host.Web.People;

/// <summary>What became of a change to people.</summary>
/// <param name="Outcome">What, and why it was refused.</param>
/// <param name="IsFaulty">Whether it was refused for what was entered, not for how things stand.</param>
internal readonly record struct PeopleAnswer(WriteOutcome Outcome, bool IsFaulty = false)
{
    public static PeopleAnswer Faulty(string why) => new(WriteOutcome.Refused(why), IsFaulty: true);
}
