using DriftWatch.Acquisition.Committing;
using DriftWatch.Delivery.Dispatch;
using DriftWatch.Host.Assessing;
using DriftWatch.Host.Settings;
using Microsoft.Extensions.DependencyInjection;
using OpenTelemetry.Exporter;
using OpenTelemetry.Metrics;
using OpenTelemetry.Resources;
using OpenTelemetry.Trace;

namespace DriftWatch.Host.Health;

/// <summary>Sends metrics and traces to a collector by OTLP, where one is named.</summary>
internal static class Telemetry
{
    public static void Add(IServiceCollection services, TelemetrySettings settings)
    {
        if (settings.OtlpEndpoint is not { } endpoint)
        {
            return;
        }

        services.AddOpenTelemetry()
            .ConfigureResource(resource => resource.AddService("driftwatch", serviceVersion: typeof(Telemetry).Assembly.GetName().Version?.ToString(3)))
            .WithMetrics(metrics => metrics
                // Made here so that there is something to read. Not handed over itself: it would be disposed of before the last export.
                .AddInstrumentation<Func<string>>((IServiceProvider provider) => provider.GetRequiredService<ServiceMetrics>().Text)
                .AddMeter(ServiceMetrics.MeterName)
                .AddOtlpExporter(options => Shape(options, "metrics")))
            .WithTracing(traces => traces
                .AddSource(CommitTracing.Name, AssessmentTracing.Name, DeliveryTracing.Name)
                .AddOtlpExporter(options => Shape(options, "traces")));

        void Shape(OtlpExporterOptions options, string signal)
        {
            bool grpc = settings.Protocol == "grpc";
            options.Protocol = grpc ? OtlpExportProtocol.Grpc : OtlpExportProtocol.HttpProtobuf;
            options.Endpoint = grpc ? new Uri(endpoint) : new Uri($"{endpoint.TrimEnd('/')}/v1/{signal}");
        }
    }
}
