using System.Net;
using DriftWatch.Host.Settings;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.HttpOverrides;

namespace DriftWatch.Host.Web.People;

/// <summary>Behind a reverse proxy: only the named proxies are answered, only over TLS on the outside, and only their word on the caller is taken.</summary>
internal static class ProxyDoor
{
    public static void UseProxyDoor(this WebApplication application, ProxySettings proxy)
    {
        HashSet<IPAddress> trusted = [.. proxy.Addresses()];
        application.Use((context, next) =>
        {
            IPAddress? sender = context.Connection.RemoteIpAddress;
            return sender is not null && trusted.Contains(sender.IsIPv4MappedToIPv6 ? sender.MapToIPv4() : sender)
                ? next(context)
                : RefuseAsync(context, "The pages are asked for through their proxy.");
        });
        ForwardedHeadersOptions options = new()
        {
            ForwardedHeaders = ForwardedHeaders.XForwardedFor | ForwardedHeaders.XForwardedProto,
            ForwardLimit = trusted.Count,
        };
        options.KnownIPNetworks.Clear();
        options.KnownProxies.Clear();
        foreach (IPAddress address in trusted)
        {
            options.KnownProxies.Add(address);
        }

        application.UseForwardedHeaders(options);
        application.Use((context, next) => context.Request.IsHttps
            ? next(context)
            : RefuseAsync(context, "The pages are asked for over https only; the proxy says so in X-Forwarded-Proto."));
    }

    private static Task RefuseAsync(HttpContext context, string why) =>
        Failures.RefuseAsync(context, StatusCodes.Status403Forbidden, "This is not the way to these pages.", why);
}
