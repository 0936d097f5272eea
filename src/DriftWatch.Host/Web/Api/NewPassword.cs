namespace DriftWatch.Host.Web.Api;

/// <summary>A password to be changed at the next sign-in.</summary>
internal sealed record NewPassword(string Password);
