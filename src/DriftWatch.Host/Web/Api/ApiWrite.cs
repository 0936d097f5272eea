using DriftWatch.Host.Web.People;
using DriftWatch.Plant.People;
using DriftWatch.Storage;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Net.Http.Headers;

namespace DriftWatch.Host.Web.Api;

/// <summary>
/// The conditions of a write: <c>If-Match</c> names what its sender saw (RFC 9110), <c>Idempotency-Key</c> is the sender's own
/// name for it, under which it may be repeated.
/// </summary>
internal sealed class ApiWrite
{
    public const string KeyHeader = "Idempotency-Key";

    private const int LongestKey = 128;

    private readonly IList<EntityTagHeaderValue> _seen;

    private ApiWrite(IList<EntityTagHeaderValue> seen, Once? once)
    {
        _seen = seen;
        Once = once;
    }

    /// <summary>The sender's own name for the write; null where none is given.</summary>
    public Once? Once { get; }

    /// <summary>The conditions of a request; null where it names nothing that its sender saw.</summary>
    /// <exception cref="BadHttpRequestException">The key is longer than is kept.</exception>
    public static ApiWrite? Of<T>(HttpContext context, T body) =>
        context.Request.GetTypedHeaders().IfMatch is { Count: > 0 } seen ? new ApiWrite(seen, OnceOf(context, body)) : null;

    /// <summary>The sender's own name for a request; null where none is given.</summary>
    public static Once? OnceOf<T>(HttpContext context, T body)
    {
        string key = context.Request.Headers[KeyHeader].ToString();
        if (key.Length > LongestKey)
        {
            throw new BadHttpRequestException($"{KeyHeader} has {key.Length} characters; at most {LongestKey} are kept.");
        }

        return key.Length == 0 ? null : new Once(
            context.Person()?.Id ?? "", key, EntityTag.Of(context, new { Path = context.Request.Path.Value, context.Request.Method, Body = body }),
            context.RequestServices.GetRequiredService<Desk>().Time.GetUtcNow());
    }

    /// <summary>Whether a thing is still what the sender saw.</summary>
    public bool Fits(string tag)
    {
        EntityTagHeaderValue now = EntityTagHeaderValue.Parse(tag);
        return _seen.Any(known => known.Equals(EntityTagHeaderValue.Any) || known.Compare(now, useStrongComparison: true));
    }

    public static IResult Unconditional() => TypedResults.Problem(
        "Say in If-Match which entity tag you saw, so that nobody's change is overwritten unseen. GET gives it.",
        statusCode: StatusCodes.Status428PreconditionRequired, title: "If-Match is missing.");

    /// <summary>What a program is told of a write.</summary>
    public static IResult Answer(WriteOutcome outcome, Func<IResult> done) => outcome.Kind switch
    {
        WriteOutcomeKind.Done or WriteOutcomeKind.Repeated => done(),
        WriteOutcomeKind.Changed => TypedResults.Problem(outcome.Why, statusCode: StatusCodes.Status412PreconditionFailed, title: "It has changed."),
        WriteOutcomeKind.KeyUsed => TypedResults.Problem(outcome.Why, statusCode: StatusCodes.Status422UnprocessableEntity, title: "The idempotency key is taken."),
        _ => TypedResults.Problem(outcome.Why, statusCode: StatusCodes.Status409Conflict, title: "It has no place now."),
    };
}
