using DriftWatch.Plant.People;
using Microsoft.AspNetCore.Authorization;
using Microsoft.Extensions.DependencyInjection;

namespace DriftWatch.Host.Web.People;

/// <summary>
/// Who may do what. Every page and call needs <see cref="Viewer"/> unless it says otherwise; one that changes something asks
/// for more with <c>RequireAuthorization</c>.
/// </summary>
internal static class Policies
{
    /// <summary>Whoever may read: everybody signed in, or everybody on this machine where there is no sign-in.</summary>
    public const string Viewer = "viewer";

    /// <summary>Technicians and above: alarms, checks, answers.</summary>
    public const string Technician = "technician";

    /// <summary>Engineers and above: the register.</summary>
    public const string Engineer = "engineer";

    /// <summary>Administrators: people, audit log.</summary>
    public const string Administrator = "administrator";

    public static void Add(IServiceCollection services, bool hasSignIn)
    {
        services.AddSingleton<IAuthorizationHandler>(new LeastRoleHandler(hasSignIn));
        AuthorizationBuilder builder = services.AddAuthorizationBuilder()
            .AddPolicy(Viewer, policy => policy.AddRequirements(new LeastRole(Role.Viewer)))
            .AddPolicy(Technician, policy => policy.AddRequirements(new LeastRole(Role.Technician)))
            .AddPolicy(Engineer, policy => policy.AddRequirements(new LeastRole(Role.Engineer)))
            .AddPolicy(Administrator, policy => policy.AddRequirements(new LeastRole(Role.Administrator)));
        builder.SetFallbackPolicy(new AuthorizationPolicyBuilder().AddRequirements(new LeastRole(Role.Viewer)).Build());
    }
}
