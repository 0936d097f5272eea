using System.Text;
using DriftWatch.Delivery.Documents;
using DriftWatch.Plant.Jobs;
using Ical.Net;
using Ical.Net.CalendarComponents;
using Ical.Net.DataTypes;
using Ical.Net.Serialization;

namespace DriftWatch.Delivery.Files;

/// <summary>
/// Due dates as iCalendar files (RFC 5545): one to-do a job, <c>due-KEY-DIGEST.ics</c>. The file of a job is replaced
/// when the job changes and says so by its revision, so a calendar that takes the folder in holds each job once.
/// </summary>
public sealed class CalendarChannel : IJobChannel
{
    private readonly string _folder;

    /// <summary>A calendar in a folder, which is made when it is missing.</summary>
    public CalendarChannel(string name, string folder)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(name);
        ArgumentException.ThrowIfNullOrWhiteSpace(folder);
        Name = name;
        _folder = Path.GetFullPath(folder);
    }

    /// <inheritdoc/>
    public string Name { get; }

    /// <summary>The file of a notice's job.</summary>
    public string PathOf(JobNotice notice) => Path.Combine(_folder, QueueFileName.Of("due", notice.Job.Key, "ics"));

    /// <inheritdoc/>
    public Task DeliverAsync(JobNotice notice, CancellationToken cancellationToken) =>
        WholeFile.WriteAsync(PathOf(notice), Encoding.UTF8.GetBytes(Write(JobDocument.From(notice))), cancellationToken);

    private static string Write(JobDocument document)
    {
        JobContent job = document.Job;
        bool closed = job.State == JobState.Closed;
        // Nobody did the work of a job that was declined, withdrawn or taken over by another.
        bool done = job.ClosedAs is JobEnd.Charged or JobEnd.Checked or JobEnd.CauseEnded;
        CalDateTime moment = At(document.Time);
        Todo todo = new()
        {
            Uid = $"{NoticeId.Of(job.Key)}@driftwatch.invalid",
            DtStamp = moment,
            LastModified = moment,
            // RFC 5545 counts revisions from 0.
            Sequence = job.Revision - 1,
            Summary = JobText.Headline(document),
            Description = JobText.Plain(document),
            Location = job.Vessel.Place,
            Due = At(job.Due),
            Status = !closed ? TodoStatus.NeedsAction : done ? TodoStatus.Completed : TodoStatus.Cancelled,
        };
        if (done)
        {
            todo.Completed = moment;
            todo.PercentComplete = 100;
        }

        Calendar calendar = new() { ProductId = "-//DriftWatch//Due dates//EN" };
        calendar.Todos.Add(todo);
        return new CalendarSerializer().SerializeToString(calendar) ?? throw new InvalidOperationException("The calendar came out empty.");
    }

    private static CalDateTime At(DateTimeOffset instant) => new(instant.UtcDateTime, "UTC");
}
