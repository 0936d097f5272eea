using System.Net;
using System.Text.Json;
using System.Text.Json.Serialization;
using DriftWatch.Host.Settings;
using DriftWatch.Host.Web.Api;
using DriftWatch.Host.Web.Charging;
using DriftWatch.Host.Web.Fleet;
using DriftWatch.Host.Web.Pages;
using DriftWatch.Host.Web.Sheets;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.DataProtection.KeyManagement;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Http.Json;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Web;

/// <summary>Puts the web application together.</summary>
internal static class DeskApplication
{
    /// <summary>No page or call takes more than a short form.</summary>
    private const int GreatestBodyBytes = 64 * 1024;

    /// <summary>The application, not started.</summary>
    /// <exception cref="InvalidOperationException">An address other than this machine's own: there is no sign-in.</exception>
    public static WebApplication Build(Desk desk, WebSettings settings, ILoggerFactory log)
    {
        if (settings.Faults().FirstOrDefault() is { } fault)
        {
            throw new InvalidOperationException(fault);
        }

        IPAddress address = settings.Loopback()!;
        WebApplicationBuilder builder = WebApplication.CreateEmptyBuilder(new WebApplicationOptions { ContentRootPath = AppContext.BaseDirectory });
        builder.WebHost.UseKestrelCore().ConfigureKestrel(kestrel =>
        {
            kestrel.AddServerHeader = false;
            kestrel.Limits.MaxRequestBodySize = GreatestBodyBytes;
            kestrel.Listen(address, settings.Port);
        });
        IServiceCollection services = builder.Services;
        services.AddSingleton(log);
        services.AddSingleton(desk);
        services.AddSingleton(new FleetBoard(desk.Vessels, desk.Store));
        services.AddSingleton<IHostLifetime, OwnersLifetime>();
        services.AddHostedService<FleetRefresh>();
        services.AddRouting();
        services.AddRazorComponents();
        services.AddHttpContextAccessor();
        services.Configure<KeyManagementOptions>(options => options.XmlRepository = new ForgetfulKeys());
        services.AddProblemDetails();
        services.AddOpenApi("v1", ApiDescription.Shape);
        services.Configure<JsonOptions>(options => Shape(options.SerializerOptions));
        WebApplication application = builder.Build();
        application.UseMiddleware<Hygiene>();
        application.UseExceptionHandler(failing => failing.Run(Failures.AnswerAsync));
        application.UseStatusCodePages(context => Failures.AnswerAsync(context.HttpContext));
        application.UseRouting();
        application.MapFiles();
        application.MapPages();
        application.MapSheets();
        application.MapCharging();
        application.MapApi();
        return application;
    }

    /// <summary>How records are written for programs: numbers as numbers, instants in UTC, names of verdicts and causes in words.</summary>
    public static void Shape(JsonSerializerOptions options)
    {
        options.PropertyNamingPolicy = JsonNamingPolicy.CamelCase;
        options.Converters.Add(new JsonStringEnumConverter(JsonNamingPolicy.CamelCase, allowIntegerValues: false));
        options.NumberHandling = JsonNumberHandling.Strict;
    }
}
