using DriftWatch.Plant.People;

namespace DriftWatch.Host.Web.Api;

/// <summary>What changes of a person; what is left out stays.</summary>
internal sealed record PersonChange(Role? Role = null, bool? Disabled = null);
