namespace DriftWatch.Host.Web.Api;

/// <summary>That a record is wrong.</summary>
/// <param name="Why">What is wrong with it.</param>
internal sealed record WorkVoided(string Why);
