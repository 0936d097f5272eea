using Microsoft.Extensions.Hosting;

namespace DriftWatch.Host.Web;

/// <summary>The pages live as long as their owner keeps them: signals of the system are the owner's to answer.</summary>
internal sealed class OwnersLifetime : IHostLifetime
{
    public Task WaitForStartAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StopAsync(CancellationToken cancellationToken) => Task.CompletedTask;
}
