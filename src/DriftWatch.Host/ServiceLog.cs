using DriftWatch.Host.Settings;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host;

/// <summary>The log of the service, on its standard output.</summary>
internal static class ServiceLog
{
    public static void Add(ILoggingBuilder logging, LogSettings settings)
    {
        if (settings.Format == "json")
        {
            logging.AddJsonConsole(options =>
            {
                options.TimestampFormat = "yyyy-MM-dd'T'HH:mm:ss.fff'Z'";
                options.UseUtcTimestamp = true;
            });
            return;
        }

        logging.AddSimpleConsole(options =>
        {
            options.SingleLine = true;
            options.TimestampFormat = "yyyy-MM-dd'T'HH:mm:ss'Z' ";
            options.UseUtcTimestamp = true;
        });
    }
}
