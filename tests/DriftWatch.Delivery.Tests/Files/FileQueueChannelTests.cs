using DriftWatch.Delivery.Documents;
using DriftWatch.Delivery.Files;
using DriftWatch.Delivery.Tests.Support;
using DriftWatch.Plant.Jobs;

namespace DriftWatch.Delivery.Tests.Files;

public sealed class FileQueueChannelTests : IDisposable
{
    private readonly TempFolder _folder = new();

    private string Queue => Path.Combine(_folder.Path, "queue");

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task A_notice_stands_in_the_folder_as_its_document()
    {
        FileQueueChannel channel = new("files", Queue);
        await channel.DeliverAsync(Given.Opened(), TestContext.Current.CancellationToken);
        string file = Assert.Single(Directory.GetFiles(Queue));
        Assert.Equal(channel.PathOf(Given.Opened()), file);
        Assert.Equal(JobDocument.From(Given.Opened()).ToUtf8Json(), await File.ReadAllBytesAsync(file, TestContext.Current.CancellationToken));
    }

    [Fact]
    public async Task A_notice_delivered_again_stands_there_once()
    {
        FileQueueChannel channel = new("files", Queue);
        await channel.DeliverAsync(Given.Opened(), TestContext.Current.CancellationToken);
        await channel.DeliverAsync(Given.Opened(), TestContext.Current.CancellationToken);
        await channel.DeliverAsync(Given.Closed(), TestContext.Current.CancellationToken);
        Assert.Equal(2, Directory.GetFiles(Queue).Length);
    }

    [Fact]
    public async Task What_a_crash_left_unfinished_is_written_over()
    {
        FileQueueChannel channel = new("files", Queue);
        _ = Directory.CreateDirectory(Queue);
        await File.WriteAllTextAsync(channel.PathOf(Given.Opened()) + ".tmp", new string('{', 100_000), TestContext.Current.CancellationToken);
        await channel.DeliverAsync(Given.Opened(), TestContext.Current.CancellationToken);
        string file = Assert.Single(Directory.GetFiles(Queue));
        Assert.Equal(JobDocument.From(Given.Opened()).ToUtf8Json(), await File.ReadAllBytesAsync(file, TestContext.Current.CancellationToken));
    }

    [Fact]
    public async Task A_folder_that_cannot_be_made_fails_the_delivery()
    {
        await File.WriteAllTextAsync(Queue, "a file in the way", TestContext.Current.CancellationToken);
        FileQueueChannel channel = new("files", Queue);
        _ = await Assert.ThrowsAnyAsync<IOException>(() => channel.DeliverAsync(Given.Opened(), TestContext.Current.CancellationToken));
    }

    [Theory]
    [InlineData("../../etc/passwd")]
    [InlineData("CON")]
    [InlineData("a:b*c?d\"e<f>g|h\\i")]
    [InlineData("überdruck\n\0")]
    public async Task Any_key_gives_a_name_inside_the_folder_that_every_file_system_takes(string key)
    {
        FileQueueChannel channel = new("files", Queue);
        await channel.DeliverAsync(Given.Opened(Given.Job() with { Key = key }), TestContext.Current.CancellationToken);
        Assert.Matches("^job-[A-Za-z0-9-]+\\.json$", Path.GetFileName(Assert.Single(Directory.GetFiles(Queue))));
    }

    [Fact]
    public void Keys_that_look_alike_have_names_of_their_own()
    {
        FileQueueChannel channel = new("files", Queue);
        string[] keys = ["a/b", "a-b", "A/B", new string('x', 200) + "1", new string('x', 200) + "2"];
        string[] names = [.. keys.Select(key => Path.GetFileName(channel.PathOf(Given.Opened(Given.Job() with { Key = key }))))];
        Assert.Equal(names.Length, names.Distinct(StringComparer.OrdinalIgnoreCase).Count());
        Assert.All(names, name => Assert.InRange(name.Length, 1, 140));
    }

    [Fact]
    public async Task A_reader_of_the_folder_never_sees_half_a_document()
    {
        FileQueueChannel channel = new("files", Queue);
        _ = Directory.CreateDirectory(Queue);
        JobNotice[] notices = [.. Enumerable.Range(0, 100).Select(i => Given.Opened(Given.Job(key: $"job-{i}")))];
        Task writing = Task.Run(
            async () =>
            {
                foreach (JobNotice notice in notices)
                {
                    await channel.DeliverAsync(notice, TestContext.Current.CancellationToken);
                }
            },
            TestContext.Current.CancellationToken);
        HashSet<string> seen = [];
        while (seen.Count < notices.Length && !writing.IsFaulted)
        {
            foreach (string file in Directory.GetFiles(Queue, "*.json").Where(seen.Add))
            {
                using System.Text.Json.JsonDocument whole = System.Text.Json.JsonDocument.Parse(await File.ReadAllBytesAsync(file, TestContext.Current.CancellationToken));
            }
        }

        await writing;
        Assert.Equal(notices.Length, seen.Count);
    }
}
