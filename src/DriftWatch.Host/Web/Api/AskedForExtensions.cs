using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;

namespace DriftWatch.Host.Web.Api;

/// <summary>Says on a call what it takes.</summary>
internal static class AskedForExtensions
{
    public static RouteHandlerBuilder Asks(this RouteHandlerBuilder call, params (string Name, string Means)[] parameters) =>
        call.WithMetadata(new AskedFor(parameters));

    /// <summary>A write: with If-Match where it changes what is there, and with an idempotency key where doing it twice would matter.</summary>
    public static RouteHandlerBuilder Writes(this RouteHandlerBuilder call, bool conditional = true, bool repeatable = true)
    {
        call.WithMetadata(new AskedFor([], conditional, repeatable))
            .ProducesProblem(StatusCodes.Status400BadRequest)
            .ProducesProblem(StatusCodes.Status403Forbidden);
        if (conditional)
        {
            call.ProducesProblem(StatusCodes.Status412PreconditionFailed)
                .ProducesProblem(StatusCodes.Status428PreconditionRequired);
        }

        if (repeatable)
        {
            call.ProducesProblem(StatusCodes.Status422UnprocessableEntity);
        }

        return call;
    }
}
