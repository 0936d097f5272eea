using Microsoft.AspNetCore.Http;

namespace DriftWatch.Host.Web.Api;

/// <summary>A JSON answer with a strong entity tag of its bytes (RFC 9110); not sent again to a caller that has it.</summary>
internal sealed class Tagged<T>(T value) : IResult
{
    public async Task ExecuteAsync(HttpContext httpContext)
    {
        byte[] body = EntityTag.Bytes(httpContext, value);
        if (EntityTag.IsKnown(httpContext, EntityTag.Of(body)))
        {
            httpContext.Response.StatusCode = StatusCodes.Status304NotModified;
            return;
        }

        httpContext.Response.ContentType = "application/json; charset=utf-8";
        httpContext.Response.ContentLength = body.Length;
        await httpContext.Response.Body.WriteAsync(body, httpContext.RequestAborted);
    }
}
