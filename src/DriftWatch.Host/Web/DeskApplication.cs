using System.Net;
using System.Text.Json;
using System.Text.Json.Serialization;
using DriftWatch.Host.Health;
using DriftWatch.Host.Settings;
using DriftWatch.Host.Web.Alarms;
using DriftWatch.Host.Web.Answers;
using DriftWatch.Host.Web.Api;
using DriftWatch.Host.Web.Charging;
using DriftWatch.Host.Web.Fleet;
using DriftWatch.Host.Web.Pages;
using DriftWatch.Host.Web.People;
using DriftWatch.Host.Web.Register;
using DriftWatch.Host.Web.Rounds;
using DriftWatch.Host.Web.Sheets;
using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.DataProtection;
using Microsoft.AspNetCore.DataProtection.KeyManagement;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.Json;
using Microsoft.AspNetCore.Routing;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Web;

/// <summary>Puts the web application together.</summary>
internal static class DeskApplication
{
    /// <summary>No page or call takes more than a short form.</summary>
    private const int GreatestBodyBytes = 64 * 1024;

    /// <summary>Programs show a token, browsers a cookie.</summary>
    private const string Door = "door";

    /// <summary>The application, not started.</summary>
    /// <exception cref="InvalidOperationException">The settings have a fault; the certificate cannot be read.</exception>
    public static WebApplication Build(Desk desk, WebSettings settings, ILoggerFactory log)
    {
        if (settings.Faults().FirstOrDefault() is { } fault)
        {
            throw new InvalidOperationException(fault);
        }

        IPAddress address = settings.Listening()!;
        WebApplicationBuilder builder = WebApplication.CreateEmptyBuilder(new WebApplicationOptions { ContentRootPath = AppContext.BaseDirectory });
        builder.WebHost.UseKestrelCore().ConfigureKestrel(kestrel =>
        {
            kestrel.AddServerHeader = false;
            kestrel.Limits.MaxRequestBodySize = GreatestBodyBytes;
            kestrel.Listen(address, settings.Port, listen =>
            {
                if (settings.CertificateFile is { } file)
                {
                    _ = listen.UseHttps(new ServerCertificate(file, settings.KeyFile).Shape);
                }
            });
        });
        IServiceCollection services = builder.Services;
        services.AddSingleton(log);
        services.AddSingleton(desk);
        services.AddSingleton(settings);
        services.AddSingleton(new FleetBoard(desk.Vessels, desk.Store));
        services.AddSingleton(new RoundBoard(desk.Store));
        services.AddSingleton<IHostLifetime, OwnersLifetime>();
        services.AddHostedService<FleetRefresh>();
        services.AddRouting();
        services.AddRazorComponents();
        services.AddHttpContextAccessor();
        AddPeople(services, desk, settings);
        services.AddProblemDetails();
        services.AddOpenApi("v1", options => ApiDescription.Shape(options, SessionDoor.CookieName(settings, "driftwatch-session")));
        services.Configure<RouteHandlerOptions>(options => options.ThrowOnBadRequest = true);
        services.Configure<JsonOptions>(options => Shape(options.SerializerOptions));
        WebApplication application = builder.Build();
        if (settings.BehindProxy is { } proxy)
        {
            application.UseProxyDoor(proxy);
        }

        application.UseMiddleware<Hygiene>();
        application.UseExceptionHandler(new ExceptionHandlerOptions
        {
            ExceptionHandler = Failures.AnswerAsync,

            // A request that cannot be used is its sender's failure, not the service's.
            SuppressDiagnosticsCallback = failure => Failures.IsTheSenders(failure.Exception),
        });
        application.UseStatusCodePages(context => Failures.AnswerAsync(context.HttpContext));
        application.UseRouting();
        application.UseAuthentication();
        if (settings.HasSignIn)
        {
            application.UseRateLimiter();
        }

        application.Use(OwnPasswordFirst);
        application.UseAuthorization();
        application.UseMiddleware<FormGuard>();
        application.MapFiles();
        application.MapSignIn(settings);
        application.MapPeople(settings);
        application.MapPages();
        application.MapSheets();
        application.MapCharging();
        application.MapAlarms();
        application.MapRegister(desk);
        application.MapRounds();
        application.MapApi();
        application.MapRegisterCalls(desk);
        application.MapPeopleCalls(settings);
        application.MapWorkCalls();
        application.MapHealth();
        if (desk.Answers is { } answers)
        {
            application.MapAnswers(answers);
        }

        return application;
    }

    private static void AddPeople(IServiceCollection services, Desk desk, WebSettings settings)
    {
        services.AddSingleton(desk.Time);
        services.AddSingleton<Passwords>();
        services.AddSingleton<SignInLimiter>();
        services.AddSingleton<PendingImports>();
        services.AddDataProtection().SetApplicationName("DriftWatch");
        services.Configure<KeyManagementOptions>(options => options.XmlRepository = desk.KeyFolder is { } folder ? new KeyFolder(folder) : new ForgetfulKeys());
        AuthenticationBuilder authentication = services.AddAuthentication(Door)
            .AddPolicyScheme(Door, null, options => options.ForwardDefaultSelector = context =>
                settings.HasSignIn && context.Request.Headers.Authorization.Count > 0 && ForPrograms.Asked(context)
                    ? TokenDoor.SchemeName
                    : SessionDoor.Scheme)
            .AddScheme<AuthenticationSchemeOptions, TokenDoor>(TokenDoor.SchemeName, null)
            .AddCookie(SessionDoor.Scheme, options => SessionDoor.Shape(options, settings));
        if (settings.Oidc is not null)
        {
            authentication.AddOpenIdConnect(OidcDoor.Scheme, options => OidcDoor.Shape(options, settings));
        }

        services.AddRateLimiter(CallLimit.Shape);
        Policies.Add(services, settings.HasSignIn);
        services.AddAntiforgery(options =>
        {
            options.Cookie.Name = SessionDoor.CookieName(settings, "driftwatch-form");
            options.Cookie.SameSite = SameSiteMode.Strict;
            options.Cookie.HttpOnly = true;
            options.Cookie.Path = "/";
            options.Cookie.SecurePolicy = settings.IsSecure ? CookieSecurePolicy.Always : CookieSecurePolicy.SameAsRequest;

            // The content policy says it already, and more strictly.
            options.SuppressXFrameOptionsHeader = true;
        });
    }

    /// <summary>Whoever has a password that someone else knows chooses another before anything else.</summary>
    private static Task OwnPasswordFirst(HttpContext context, RequestDelegate next)
    {
        PathString path = context.Request.Path;
        if (!SessionDoor.MustChange(context) || path == "/me" || path == "/me/password" || path == "/me/sign-out-everywhere"
            || path.StartsWithSegments("/assets", StringComparison.OrdinalIgnoreCase) || path.StartsWithSegments("/sign-out", StringComparison.OrdinalIgnoreCase))
        {
            return next(context);
        }

        if (path.StartsWithSegments("/api", StringComparison.OrdinalIgnoreCase))
        {
            context.Response.StatusCode = StatusCodes.Status403Forbidden;
        }
        else
        {
            context.Response.Redirect("/me");
        }

        return Task.CompletedTask;
    }

    /// <summary>How records are written for programs: numbers as numbers, instants in UTC, names of verdicts and causes in words.</summary>
    public static void Shape(JsonSerializerOptions options)
    {
        options.PropertyNamingPolicy = JsonNamingPolicy.CamelCase;
        options.Converters.Add(new JsonStringEnumConverter(JsonNamingPolicy.CamelCase, allowIntegerValues: false));
        options.Converters.Add(new InstantConverter());
        options.NumberHandling = JsonNumberHandling.Strict;
        options.UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow;
        options.RespectNullableAnnotations = true;
        options.RespectRequiredConstructorParameters = true;
    }
}
