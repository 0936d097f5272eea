using DriftWatch.Plant.People;

namespace DriftWatch.Host.Web.Api;

/// <summary>A person and how the person signs in.</summary>
internal sealed record PersonData(
    string Id, string Name, Role Role, bool Disabled, bool MustChangePassword, string Issuer, DateTimeOffset Made, DateTimeOffset? LastSignIn)
{
    public static PersonData Of(Account account) => new(
        account.Person.Id, account.Person.Name, account.Person.Role, account.Disabled, account.MustChange, account.Issuer, account.Made, account.LastSignIn);
}
