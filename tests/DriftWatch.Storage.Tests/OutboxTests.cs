using System.Text.Json;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Notices;
using DriftWatch.Storage.Tests.Support;

namespace DriftWatch.Storage.Tests;

public sealed class OutboxTests : IDisposable
{
    private readonly StoreFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_notice_waits_once_for_each_channel_and_comes_back_whole()
    {
        Job job = Given.Job("V-1");
        using (PlantStore store = _folder.Open("files", "mqtt"))
        {
            store.Save(Given.Step("V-1", 1, Given.Opened(job)));
        }

        using PlantStore reopened = _folder.Open("files", "mqtt");
        foreach (string channel in new[] { "files", "mqtt" })
        {
            OutboxEntry entry = Assert.Single(reopened.Pending(channel, 10));
            Assert.Equal(JsonSerializer.Serialize(Given.Opened(job)), JsonSerializer.Serialize((JobNotice)entry.Notice));
            Assert.Equal(0, entry.Tries);
        }

        Assert.Empty(reopened.Pending("another", 10));
    }

    [Fact]
    public void A_job_raised_again_changes_nothing_and_sends_nothing()
    {
        using PlantStore store = _folder.Open("files");
        store.Save(Given.Step("V-1", 1, Given.Opened(Given.Job("V-1"))));
        store.MarkDelivered("files", Assert.Single(store.Pending("files", 10)).Sequence);
        store.Save(Given.Step("V-1", 2, Given.Opened(Given.Job("V-1") with { Reason = "otherwise" })));
        Assert.Empty(store.Pending("files", 10));
        Assert.Equal("below its lower limit", Assert.Single(store.LastNotices("V-1")).Job.Reason);
    }

    [Fact]
    public void A_job_is_closed_once_and_stays_on_record()
    {
        using PlantStore store = _folder.Open("files");
        Job job = Given.Job("V-1");
        store.Save(Given.Step("V-1", 1, Given.Opened(job), Given.Opened(Given.Job("V-1", "job-2", 3))));
        store.Save(Given.Step("V-1", 2, Given.Closed(job)));
        store.Save(Given.Step("V-1", 3, Given.Closed(job), Given.Opened(job)));
        Assert.Equal(["V-1/job-2"], store.LastNotices("V-1").Where(last => last.State == JobState.Open).Select(open => open.Job.Key));
        Assert.Equal(
            [("V-1/job-1", JobState.Closed, Given.Closed(job).At, "charged"), ("V-1/job-2", JobState.Open, null, "")],
            store.Jobs().Select(stored => (stored.Job.Key, stored.State, stored.Closed, stored.ClosedBecause)));
        Assert.Equal(
            ["V-1/job-1/open/1", "V-1/job-2/open/1", "V-1/job-1/closed/2"],
            store.Pending("files", 10).Select(entry => entry.Notice.Key));
    }

    [Fact]
    public void A_job_stands_again_and_is_told_of_by_a_later_revision()
    {
        using PlantStore store = _folder.Open("files");
        Job job = Given.Job("V-1");
        store.Save(Given.Step("V-1", 1, Given.Opened(job)));
        store.Save(Given.Step("V-1", 2, Given.Closed(job)));
        JobNotice closed = Assert.Single(store.LastNotices("V-1"));
        Assert.Equal((JobState.Closed, (JobEnd?)JobEnd.Charged, 2), (closed.State, closed.End, closed.Job.Revision));
        store.Save(Given.Step("V-1", 3, Given.Opened(job with { Revision = 3, Reason = "late readings" })));
        JobNotice again = Assert.Single(store.LastNotices("V-1"));
        Assert.Equal((JobState.Open, (JobEnd?)null, 3, "late readings"), (again.State, again.End, again.Job.Revision, again.Job.Reason));
        Assert.Equal(
            ["V-1/job-1/open/1", "V-1/job-1/closed/2", "V-1/job-1/open/3"],
            store.Pending("files", 10).Select(entry => entry.Notice.Key));
    }

    [Fact]
    public void A_job_that_one_step_raises_and_ends_is_on_record_and_not_told_until_it_stands_again()
    {
        using PlantStore store = _folder.Open("files");
        Job job = Given.Job("V-1");
        store.Save(Given.Step("V-1", 1, Given.Opened(job), Given.Closed(job)));
        Assert.Equal((JobState.Closed, "charged"), store.Jobs().Select(stored => (stored.State, stored.ClosedBecause)).Single());
        store.Save(Given.Step("V-1", 2, Given.Closed(job with { Revision = 2 }) with { Why = "checked" }));
        Assert.Equal("checked", Assert.Single(store.Jobs()).ClosedBecause);
        Assert.Empty(store.Pending("files", 10));

        store.Save(Given.Step("V-1", 3, Given.Opened(job with { Revision = 4 })));
        store.Save(Given.Step("V-1", 4, Given.Closed(job with { Revision = 4 })));
        Assert.Equal(["V-1/job-1/open/4", "V-1/job-1/closed/5"], store.Pending("files", 10).Select(entry => entry.Notice.Key));
    }

    [Fact]
    public void A_replay_tells_all_of_it()
    {
        using PlantStore store = new(new StoreOptions { Path = _folder.File, Channels = ["files"], TellsPast = true });
        Job job = Given.Job("V-1");
        store.Save(Given.Step("V-1", 1, Given.Opened(job), Given.Closed(job)));
        Assert.Equal(["V-1/job-1/open/1", "V-1/job-1/closed/2"], store.Pending("files", 10).Select(entry => entry.Notice.Key));
    }

    [Fact]
    public void Closing_a_job_that_nobody_raised_sends_nothing()
    {
        using PlantStore store = _folder.Open("files");
        store.Save(Given.Step("V-1", 1, Given.Closed(Given.Job("V-1"))));
        Assert.Empty(store.Pending("files", 10));
        Assert.Empty(store.Jobs());
    }

    [Fact]
    public void Entries_leave_by_channel_in_order_of_entry()
    {
        using PlantStore store = _folder.Open("files", "mqtt");
        store.Save(Given.Step("V-1", 1, [.. Enumerable.Range(0, 5).Select(i => Given.Opened(Given.Job("V-1", $"job-{i}")))]));
        IReadOnlyList<OutboxEntry> pending = store.Pending("files", 3);
        Assert.Equal(["V-1/job-0", "V-1/job-1", "V-1/job-2"], pending.Select(entry => ((JobNotice)entry.Notice).Job.Key));
        store.MarkDelivered("files", pending[1].Sequence);
        store.MarkDelivered("files", pending[1].Sequence);
        Assert.Equal(["V-1/job-0", "V-1/job-2", "V-1/job-3", "V-1/job-4"], store.Pending("files", 10).Select(entry => ((JobNotice)entry.Notice).Job.Key));
        Assert.Equal(5, store.Pending("mqtt", 10).Count);
    }

    [Fact]
    public void What_waits_for_channels_that_are_gone_is_let_go_and_their_dead_letters_stay()
    {
        using PlantStore store = _folder.Open("csv", "files", "mqtt");
        store.Save(Given.Step("V-1", 1, [.. Enumerable.Range(0, 3).Select(i => Given.Opened(Given.Job("V-1", $"job-{i}")))]));
        IReadOnlyList<OutboxEntry> entries = store.Pending("mqtt", 10);
        store.MarkDelivered("mqtt", entries[0].Sequence);
        store.SetAside("mqtt", entries[1].Sequence, Given.Instant(5));

        Assert.Equal([("csv", 3L), ("mqtt", 1L)], store.LetGoOfNoticesForOthers(["files"]).Select(gone => (gone.Channel, gone.Count)));
        Assert.Equal([("files", 3L)], store.WaitingNotices().Select(waiting => (waiting.Channel, waiting.Count)));
        Assert.Equal("mqtt", Assert.Single(store.DeadLetters()).Channel);
        Assert.Empty(store.LetGoOfNoticesForOthers(["files"]));
    }

    [Fact]
    public void Failed_tries_are_counted_by_channel()
    {
        using PlantStore store = _folder.Open("files", "mqtt");
        store.Save(Given.Step("V-1", 1, Given.Opened(Given.Job("V-1"))));
        long sequence = store.Pending("mqtt", 1)[0].Sequence;
        store.MarkFailed("mqtt", sequence, "broker away");
        store.MarkFailed("mqtt", sequence, "broker away");
        Assert.Equal(2, store.Pending("mqtt", 1)[0].Tries);
        Assert.Equal(0, store.Pending("files", 1)[0].Tries);
    }

    [Fact]
    public void Vessels_that_are_held_back_are_passed_over()
    {
        using PlantStore store = _folder.Open("files");
        store.Save(Given.Step("V-1", 1, Given.Opened(Given.Job("V-1"))));
        store.Save(Given.Step("V-2", 1, Given.Opened(Given.Job("V-2"))));
        Assert.Equal("V-2", Assert.Single(store.Pending("files", 10, ["V-1", "it's \"odd\""])).Notice.VesselId);
    }

    [Fact]
    public void A_dead_letter_waits_no_more_until_it_is_sent_again_with_what_came_after_it()
    {
        using PlantStore store = _folder.Open("files", "mqtt");
        store.Save(Given.Step("V-1", 1, [.. Enumerable.Range(0, 3).Select(i => Given.Opened(Given.Job("V-1", $"job-{i}")))]));
        store.Save(Given.Step("V-2", 1, Given.Opened(Given.Job("V-2"))));
        IReadOnlyList<OutboxEntry> entries = store.Pending("files", 10);
        store.MarkDelivered("files", entries[0].Sequence);
        store.MarkFailed("files", entries[1].Sequence, "no such field");
        store.CountRefusal("files", entries[1].Sequence);
        Assert.Equal(1, store.Pending("files", 1)[0].Refusals);
        store.SetAside("files", entries[1].Sequence, Given.Instant(5));
        store.MarkDelivered("files", entries[2].Sequence);
        store.MarkDelivered("files", entries[3].Sequence);
        Assert.Empty(store.Pending("files", 10));
        Assert.Equal([("mqtt", 4L)], store.WaitingNotices().Select(waiting => (waiting.Channel, waiting.Count)));
        DeadLetter letter = Assert.Single(store.DeadLetters());
        Assert.Equal(("files", "V-1/job-1", 1, Given.Instant(5), "no such field"), (letter.Channel, ((JobNotice)letter.Notice).Job.Key, letter.Tries, letter.SetAside, letter.Error));

        Assert.Equal(0, store.Resend("mqtt", letter.Sequence));
        Assert.Equal(2, store.Resend("files", letter.Sequence));
        Assert.Equal(["V-1/job-1", "V-1/job-2"], store.Pending("files", 10).Select(entry => ((JobNotice)entry.Notice).Job.Key));
        Assert.Equal((0, 0), (store.Pending("files", 1)[0].Tries, store.Pending("files", 1)[0].Refusals));
        Assert.Empty(store.DeadLetters());
    }
}
