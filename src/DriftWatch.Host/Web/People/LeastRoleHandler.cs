using DriftWatch.Plant.People;
using Microsoft.AspNetCore.Authorization;

namespace DriftWatch.Host.Web.People;

/// <summary>Holds people to their role. Where there is no sign-in, all on this machine may read and nobody may do more.</summary>
internal sealed class LeastRoleHandler(bool hasSignIn) : AuthorizationHandler<LeastRole>
{
    protected override Task HandleRequirementAsync(AuthorizationHandlerContext context, LeastRole requirement)
    {
        bool may = context.User.Person() is { } person ? person.Role >= requirement.Role : !hasSignIn && requirement.Role == Role.Viewer;
        if (may)
        {
            context.Succeed(requirement);
        }

        return Task.CompletedTask;
    }
}
