using DriftWatch.Host.Settings;
using DriftWatch.Plant.People;
using DriftWatch.Storage;
using Microsoft.AspNetCore.Http;

namespace DriftWatch.Host.Web.People;

/// <summary>What administrators do to accounts, and people to their tokens, from pages and from programs alike: checked, stored with its line in the audit log.</summary>
internal static class PeopleActs
{
    /// <summary>Adds an account of the plant's own; its password is to be changed at the first sign-in.</summary>
    /// <param name="context">The request.</param>
    /// <param name="desk">The desk.</param>
    /// <param name="settings">How people sign in.</param>
    /// <param name="passwords">What hashes passwords.</param>
    /// <param name="name">Name to sign in with.</param>
    /// <param name="role">What the person may do.</param>
    /// <param name="password">The first password.</param>
    /// <param name="once">The request's own name, where it may be repeated.</param>
    public static PeopleAnswer Add(
        HttpContext context, Desk desk, WebSettings settings, Passwords passwords, string name, Role role, string password, Once? once = null)
    {
        if (settings.Oidc is not null)
        {
            return new(WriteOutcome.Refused("The provider vouches for people: they come into being here when they first sign in."));
        }

        name = name.Trim();
        if ((Passwords.ObjectionToName(name) ?? Passwords.Objection(password, name)) is { } objection)
        {
            return PeopleAnswer.Faulty(objection);
        }

        Account account = new()
        {
            Person = new Person(Guid.NewGuid().ToString("n"), name, role),
            PasswordHash = passwords.Hash(password),
            MustChange = true,
            Made = desk.Time.GetUtcNow(),
        };
        return new(desk.Store.Add(account, context.Entry("person added", name, after: role.ToString()), once));
    }

    /// <summary>Changes the role of a person, lets nobody in any more under the account, or lets in again; ends the person's sessions.</summary>
    /// <param name="context">The request.</param>
    /// <param name="desk">The desk.</param>
    /// <param name="account">The account as it was seen; nothing is done when it is another by then.</param>
    /// <param name="role">The role after; null for the one before.</param>
    /// <param name="disabled">Whether it is disabled after; null for as before.</param>
    public static PeopleAnswer Change(HttpContext context, Desk desk, Account account, Role? role, bool? disabled)
    {
        if (role is not null && account.Issuer.Length > 0)
        {
            return new(WriteOutcome.Refused("The provider says what this person may do."));
        }

        Account after = account with { Person = account.Person with { Role = role ?? account.Person.Role }, Disabled = disabled ?? account.Disabled };
        string what = (after.Person.Role != account.Person.Role, after.Disabled != account.Disabled) switch
        {
            (true, false) => "role changed",
            (false, true) => after.Disabled ? "person disabled" : "person enabled",
            _ => "person changed",
        };
        return new(desk.Store.Change(account.Person.Id, _ => after, context.Entry(what, account.Person.Name, Words(account), Words(after)), before => before == account));
    }

    /// <summary>Sets a password, to be changed at the next sign-in; ends the person's sessions.</summary>
    /// <param name="context">The request.</param>
    /// <param name="desk">The desk.</param>
    /// <param name="passwords">What hashes passwords.</param>
    /// <param name="account">The account as it was seen, one of the plant's own; nothing is done when it is another by then.</param>
    /// <param name="password">The password.</param>
    public static PeopleAnswer SetPassword(HttpContext context, Desk desk, Passwords passwords, Account account, string password)
    {
        if (Passwords.Objection(password, account.Person.Name) is { } objection)
        {
            return PeopleAnswer.Faulty(objection);
        }

        string hash = passwords.Hash(password);
        return new(desk.Store.Change(
            account.Person.Id, before => before with { PasswordHash = hash, MustChange = true }, context.Entry("password reset", account.Person.Name), before => before == account));
    }

    /// <summary>Revokes a token; one that is revoked already stays so.</summary>
    /// <returns>Whether the person has such a token.</returns>
    public static bool Revoke(HttpContext context, Desk desk, Person person, string tokenId)
    {
        if (desk.Store.TokensOf(person.Id).FirstOrDefault(token => token.Id == tokenId) is not { } token)
        {
            return false;
        }

        _ = desk.Store.Revoke(tokenId, context.Entry("token revoked", person.Name, before: AccessTokens.Words(token)));
        return true;
    }

    private static string Words(Account account) => $"{account.Person.Role}{(account.Disabled ? ", disabled" : "")}";
}
