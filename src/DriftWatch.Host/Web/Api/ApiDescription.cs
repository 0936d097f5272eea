using DriftWatch.Host.Web.People;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.OpenApi;
using Microsoft.OpenApi;

namespace DriftWatch.Host.Web.Api;

/// <summary>What the description of the interface says of itself.</summary>
internal static class ApiDescription
{
    private const string Bearer = "bearer";

    private const string Session = "session";

    public static void Shape(OpenApiOptions options, string cookie)
    {
        options.AddDocumentTransformer((document, _, _) =>
        {
            document.Info.Title = "DriftWatch";
            document.Info.Description =
                "Precharge of hydropneumatic accumulators: verdicts, windows, trends, readings, jobs, alarms, people. SI units, named in each field; instants in UTC (RFC 3339). Errors are problem details (RFC 9457); answers carry entity tags. What changes something takes an access token, the entity tag seen in If-Match, and an Idempotency-Key under which it may be repeated. It advises; it does not certify a vessel.";
            document.Servers?.Clear();
            document.Components ??= new OpenApiComponents();
            document.Components.SecuritySchemes = new Dictionary<string, IOpenApiSecurityScheme>
            {
                [Bearer] = new OpenApiSecurityScheme
                {
                    Type = SecuritySchemeType.Http,
                    Scheme = "bearer",
                    Description = "An access token, made on the page of the person whose it is. It does no more than its owner may.",
                },
                [Session] = new OpenApiSecurityScheme
                {
                    Type = SecuritySchemeType.ApiKey,
                    In = ParameterLocation.Cookie,
                    Name = cookie,
                    Description = "The session of someone signed in to the pages; for reading only.",
                },
            };
            return Task.CompletedTask;
        });
        options.AddOperationTransformer((operation, context, _) =>
        {
            bool reads = HttpMethods.IsGet(context.Description.HttpMethod ?? HttpMethods.Get);
            // Where nobody signs in the call itself says who vouches for it.
            bool anonymous = context.Description.ActionDescriptor.EndpointMetadata.OfType<Microsoft.AspNetCore.Authorization.IAllowAnonymous>().Any();
            operation.Security = anonymous ? [] : [new OpenApiSecurityRequirement { [new OpenApiSecuritySchemeReference(Bearer, context.Document)] = [] }];
            if (reads && !anonymous)
            {
                operation.Security.Add(new OpenApiSecurityRequirement { [new OpenApiSecuritySchemeReference(Session, context.Document)] = [] });
            }

            IEnumerable<AskedFor> asked = context.Description.ActionDescriptor.EndpointMetadata.OfType<AskedFor>();
            operation.Parameters ??= [];
            foreach (AskedFor one in asked)
            {
                foreach ((string name, string means) in one.Parameters)
                {
                    Add(operation, name, ParameterLocation.Query, means, required: false);
                }

                if (one.Conditional)
                {
                    Add(operation, "If-Match", ParameterLocation.Header, "The entity tag that was seen.", required: true);
                }

                if (one.Repeatable)
                {
                    Add(operation, ApiWrite.KeyHeader, ParameterLocation.Header, "The sender's own name for this request, at most 128 characters, remembered for 7 days.", required: false);
                }
            }

            operation.Responses ??= [];
            operation.Responses.TryAdd("401", new OpenApiResponse { Description = "No access token, or one that is unknown, revoked or past its time." });
            operation.Responses.TryAdd("429", new OpenApiResponse { Description = "Too many calls; Retry-After says how long to wait, in seconds." });
            string? policy = context.Description.ActionDescriptor.EndpointMetadata.OfType<Microsoft.AspNetCore.Authorization.IAuthorizeData>().LastOrDefault()?.Policy;
            operation.Description = anonymous ? operation.Description : $"{operation.Description} Role: {policy ?? Policies.Viewer}.".Trim();
            return Task.CompletedTask;
        });
    }

    private static void Add(OpenApiOperation operation, string name, ParameterLocation where, string means, bool required) => operation.Parameters!.Add(new OpenApiParameter
    {
        Name = name,
        In = where,
        Required = required,
        Description = means,
        Schema = new OpenApiSchema { Type = JsonSchemaType.String },
    });
}
