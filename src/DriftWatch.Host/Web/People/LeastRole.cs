using DriftWatch.Plant.People;
using Microsoft.AspNetCore.Authorization;

namespace DriftWatch.Host.Web.People;

/// <summary>A role that someone must have at least.</summary>
internal sealed record LeastRole(Role Role) : IAuthorizationRequirement;
