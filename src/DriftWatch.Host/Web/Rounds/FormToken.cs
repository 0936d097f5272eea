namespace DriftWatch.Host.Web.Rounds;

/// <summary>A form token, and the field that it goes into.</summary>
internal sealed record FormToken(string Field, string Token);
