using Microsoft.Extensions.Logging;

namespace DriftWatch.Host;

/// <summary>From which level on messages are logged; may be changed while the service runs, from any thread.</summary>
internal sealed class LogThreshold(LogLevel least)
{
    private volatile LogLevel _least = least;

    public LogLevel Least
    {
        get => _least;
        set => _least = value;
    }

    /// <summary>Lets pass what reaches the threshold. Frameworks speak of themselves from a level of their own on, never below it.</summary>
    public void Filter(ILoggingBuilder logging)
    {
        logging.SetMinimumLevel(LogLevel.Trace);
        logging.AddFilter((_, level) => level >= _least);

        // The start that fails and the part that ends by itself are told by the program, once.
        From("Microsoft.Extensions.Hosting", LogLevel.None);
        logging.AddFilter("Microsoft.AspNetCore.Server.Kestrel", level => level is >= LogLevel.Warning and not LogLevel.Critical && level >= _least);

        // Not each request: addresses of a provider's answers hold codes that belong in no log.
        From("Microsoft.AspNetCore", LogLevel.Warning);
        From("Microsoft.AspNetCore.Antiforgery", LogLevel.Error);

        // The keys of the pages are kept in the data folder, readable to the service's user alone; the framework warns that they are not sealed besides.
        From("Microsoft.AspNetCore.DataProtection", LogLevel.Error);
        From("Microsoft.IdentityModel", LogLevel.Warning);
        From("System.Net.Http", LogLevel.Warning);

        void From(string category, LogLevel own) => logging.AddFilter(category, level => level >= own && level >= _least);
    }
}
