using Spectre.Console;

namespace DriftWatch.Host.Output;

/// <summary>A progress bar on long work when a person watches; silence otherwise.</summary>
internal static class WorkProgress
{
    /// <summary>Work on files that tells the bytes read of each.</summary>
    public static async Task<T> RunAsync<T>(
        IAnsiConsole console, string title, IReadOnlyList<string> files, Func<Action<string, long>, Task<T>> work)
    {
        if (Console.IsOutputRedirected)
        {
            return await work((_, _) => { });
        }

        return await console.Progress().StartAsync(async context =>
        {
            ProgressTask task = context.AddTask(title, maxValue: files.Sum(file => new FileInfo(file).Length));
            Dictionary<string, long> read = files.ToDictionary(file => file, _ => 0L);
            Lock oneAtATime = new();
            T result = await work((file, bytes) =>
            {
                lock (oneAtATime)
                {
                    task.Increment(bytes - read[file]);
                    read[file] = bytes;
                }
            });
            task.Value = task.MaxValue;
            return result;
        });
    }

    /// <summary>The same work on each of several things, on all processors.</summary>
    public static async Task RunAsync<T>(IAnsiConsole console, string title, IReadOnlyList<T> things, Action<T> work)
    {
        if (Console.IsOutputRedirected)
        {
            await Task.Run(() => Parallel.ForEach(things, work));
            return;
        }

        await console.Progress().StartAsync(async context =>
        {
            ProgressTask task = context.AddTask(title, maxValue: things.Count);
            await Task.Run(() => Parallel.ForEach(things, thing =>
            {
                work(thing);
                task.Increment(1);
            }));
        });
    }
}
