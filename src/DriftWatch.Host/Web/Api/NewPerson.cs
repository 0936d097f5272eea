using DriftWatch.Plant.People;

namespace DriftWatch.Host.Web.Api;

/// <summary>Someone to be added. The password is to be changed at the first sign-in.</summary>
internal sealed record NewPerson(string Name, Role Role, string Password);
