using Microsoft.AspNetCore.OpenApi;

namespace DriftWatch.Host.Web.Api;

/// <summary>What the description of the interface says of itself.</summary>
internal static class ApiDescription
{
    public static void Shape(OpenApiOptions options) => options.AddDocumentTransformer((document, _, _) =>
    {
        document.Info.Title = "DriftWatch";
        document.Info.Description =
            "Precharge of hydropneumatic accumulators: verdicts, windows, trends, readings, jobs. Reading only. SI units, named in each field; instants in UTC (RFC 3339). Errors are problem details (RFC 9457); answers carry entity tags. It advises; it does not certify a vessel.";
        document.Servers?.Clear();
        return Task.CompletedTask;
    });
}
