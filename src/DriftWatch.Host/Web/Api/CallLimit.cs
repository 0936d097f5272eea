using System.Globalization;
using System.Threading.RateLimiting;
using DriftWatch.Host.Web.People;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.RateLimiting;

namespace DriftWatch.Host.Web.Api;

/// <summary>How often one person or address may ask: enough for a page and a busy program, too little to take the service from others.</summary>
internal static class CallLimit
{
    /// <summary>Requests at once after a pause.</summary>
    public const int Burst = 300;

    /// <summary>Requests a second for long.</summary>
    public const int PerSecond = 30;

    public static void Shape(RateLimiterOptions options)
    {
        options.RejectionStatusCode = StatusCodes.Status429TooManyRequests;
        options.OnRejected = (context, _) =>
        {
            double wait = context.Lease.TryGetMetadata(MetadataName.RetryAfter, out TimeSpan retry) ? Math.Max(1, retry.TotalSeconds) : 1;
            context.HttpContext.Response.Headers.RetryAfter = Math.Ceiling(wait).ToString(CultureInfo.InvariantCulture);
            return ValueTask.CompletedTask;
        };
        options.GlobalLimiter = PartitionedRateLimiter.Create<HttpContext, string>(context =>
            RateLimitPartition.GetTokenBucketLimiter(context.Person()?.Id ?? context.From(), _ => new TokenBucketRateLimiterOptions
            {
                TokenLimit = Burst,
                TokensPerPeriod = PerSecond,
                ReplenishmentPeriod = TimeSpan.FromSeconds(1),
                QueueLimit = 0,
            }));
    }
}
