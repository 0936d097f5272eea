using DriftWatch.Plant.Records;
using Microsoft.AspNetCore.Http;

namespace DriftWatch.Host.Web.Rounds;

/// <summary>What became of putting work on record.</summary>
/// <param name="Outcome">What; null where it cannot be used.</param>
/// <param name="Faults">Why nothing was recorded, a line each with how to mend it; empty when it is on record.</param>
internal sealed record WorkAnswer(WorkOutcome? Outcome, IReadOnlyList<string> Faults)
{
    /// <summary>The status that says so over HTTP.</summary>
    public int Status => Outcome switch
    {
        null => StatusCodes.Status400BadRequest,
        WorkOutcome.NoSuchRecord => StatusCodes.Status404NotFound,
        WorkOutcome.IdUsed or WorkOutcome.VoidAlready => StatusCodes.Status409Conflict,
        _ => StatusCodes.Status200OK,
    };
}
