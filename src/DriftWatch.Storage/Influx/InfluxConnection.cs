using InfluxDB.Client;

namespace DriftWatch.Storage.Influx;

/// <summary>The client as both directions use it.</summary>
internal static class InfluxConnection
{
    public static InfluxDBClient Open(InfluxOptions options)
    {
        InfluxDBClientOptions.Builder builder = InfluxDBClientOptions.Builder.CreateNew().Url(options.Url).TimeOut(options.Timeout);
        if (options.Token is { } token)
        {
            builder.AuthenticateToken(token);
        }

        return new InfluxDBClient(builder.Build());
    }
}
