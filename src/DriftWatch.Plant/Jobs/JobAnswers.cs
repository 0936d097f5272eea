using DriftWatch.Plant.Register;

namespace DriftWatch.Plant.Jobs;

/// <summary>What the queues have said of a job up to a moment; the last word counts.</summary>
/// <param name="Taken">Who has taken it on; null for nobody.</param>
/// <param name="ReportedDone">Who says that it is done, though it stands; null for nobody.</param>
/// <param name="Rejection">The answer that declined it; null for none.</param>
internal readonly record struct JobAnswers(JobMark? Taken, JobMark? ReportedDone, JobAnswer? Rejection)
{
    public static JobAnswers Of(Vessel vessel, string key, DateTimeOffset asOf)
    {
        JobAnswers said = default;
        foreach (JobAnswer answer in vessel.Answers)
        {
            if (answer.At <= asOf && answer.JobKey == key)
            {
                var mark = new JobMark(answer.Who, answer.At);
                said = answer.Kind switch
                {
                    AnswerKind.Taken => new JobAnswers(mark, null, null),
                    AnswerKind.Done => said with { ReportedDone = mark, Rejection = null },
                    AnswerKind.Rejected => new JobAnswers(null, null, answer),
                    _ => said,
                };
            }
        }

        return said;
    }
}
