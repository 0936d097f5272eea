using DriftWatch.Delivery.Answers;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Routing;

namespace DriftWatch.Host.Web.Answers;

/// <summary>
/// Takes the answers of maintenance queues over HTTP. Who sends them signs them by the same open scheme as the notices that
/// go out; nobody has to sign in.
/// </summary>
internal static class AnswerEndpoints
{
    public const string Path = "/api/v1/answers";

    /// <summary>No answer is longer than a page of text.</summary>
    private const int GreatestBodyBytes = 16 * 1024;

    /// <summary>From memory: the window that the Standard Webhooks scheme recommends.</summary>
    private static readonly TimeSpan ReplayWindow = TimeSpan.FromMinutes(5);

    public static void MapAnswers(this IEndpointRouteBuilder routes, AnswerDesk answers) =>
        routes.MapPost(Path, (Delegate)((HttpContext context) => TakeAsync(context, answers))).AllowAnonymous()
            .WithName("answerJob").WithTags("Answers").WithSummary("Answer a job")
            .WithDescription("A document by answer.schema.json, bare or as a CloudEvents 1.0 event (structured or binary), signed in webhook-id, webhook-timestamp and webhook-signature.")
            .AddOpenApiOperationTransformer(AnswerDescription.Shape)
            .Produces<AnswerTaken>()
            .ProducesProblem(StatusCodes.Status401Unauthorized).ProducesProblem(StatusCodes.Status413PayloadTooLarge)
            .ProducesProblem(StatusCodes.Status415UnsupportedMediaType).ProducesProblem(StatusCodes.Status422UnprocessableEntity)
            .ProducesProblem(StatusCodes.Status503ServiceUnavailable);

    private static async Task<IResult> TakeAsync(HttpContext context, AnswerDesk answers)
    {
        HttpRequest request = context.Request;
        if (!AnswerEvent.Takes(request.ContentType))
        {
            return Problem(StatusCodes.Status415UnsupportedMediaType, "The answer is no JSON.", "Send application/json, or application/cloudevents+json for an event in structured mode.");
        }

        if (await ReadAsync(request, context.RequestAborted) is not { } body)
        {
            return Problem(StatusCodes.Status413PayloadTooLarge, "The answer is too long.", FormattableString.Invariant($"Send at most {GreatestBodyBytes} bytes."));
        }

        AnswerReply reply = answers.Take(
            AnswerMessage.From("http", body, Header) with { SignatureTolerance = ReplayWindow, IsAnsweredAtOnce = true },
            signed => AnswerEvent.Document(request.ContentType, Header, signed));
        return reply.Result switch
        {
            AnswerResult.Recorded => TypedResults.Ok(new AnswerTaken("recorded")),
            AnswerResult.Repeated => TypedResults.Ok(new AnswerTaken("repeated")),
            AnswerResult.NotAuthentic => Problem(
                StatusCodes.Status401Unauthorized, "Nobody vouches for the answer.",
                "Sign id, timestamp and body with the secret of queue.answers.signingSecret, within five minutes: webhook-id, webhook-timestamp, webhook-signature."),
            _ => Problem(StatusCodes.Status422UnprocessableEntity, "The answer cannot be used.", reply.Reason),
        };

        string? Header(string name) => request.Headers.TryGetValue(name, out Microsoft.Extensions.Primitives.StringValues values) ? values.ToString() : null;
    }

    /// <summary>The whole body; null where it is longer than an answer may be.</summary>
    private static async Task<byte[]?> ReadAsync(HttpRequest request, CancellationToken stop)
    {
        if (request.ContentLength > GreatestBodyBytes)
        {
            return null;
        }

        byte[] buffer = new byte[GreatestBodyBytes + 1];
        int length = await request.Body.ReadAtLeastAsync(buffer, buffer.Length, throwOnEndOfStream: false, stop);
        return length > GreatestBodyBytes ? null : buffer[..length];
    }

    private static ProblemHttpResult Problem(int status, string title, string detail) => TypedResults.Problem(detail, Path, status, title);
}
