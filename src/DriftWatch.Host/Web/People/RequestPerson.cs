using System.Security.Claims;
using DriftWatch.Plant.People;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.DependencyInjection;

namespace DriftWatch.Host.Web.People;

/// <summary>Who asks, and what is written down of what they do.</summary>
internal static class RequestPerson
{
    /// <summary>Longest text that an audit line keeps of a field.</summary>
    private const int LongestText = 8000;

    /// <summary>The person who is signed in; null where nobody is.</summary>
    public static Person? Person(this HttpContext context) => context.User.Person();

    /// <inheritdoc cref="Person(HttpContext)"/>
    public static Person? Person(this ClaimsPrincipal user) =>
        user.Identity is { IsAuthenticated: true }
            && user.FindFirstValue(ClaimTypes.NameIdentifier) is { } id
            && user.FindFirstValue(ClaimTypes.Name) is { } name
            && Enum.TryParse(user.FindFirstValue(ClaimTypes.Role), out Role role)
            ? new Person(id, name, role)
            : null;

    /// <summary>A person as the framework carries one through a request.</summary>
    public static ClaimsIdentity Identity(Person person, string scheme) => new(
        [
            new Claim(ClaimTypes.NameIdentifier, person.Id),
            new Claim(ClaimTypes.Name, person.Name),
            new Claim(ClaimTypes.Role, person.Role.ToString()),
        ],
        scheme);

    /// <summary>
    /// A line for the audit log: the person of the request did this now. Give it to the store together with the change
    /// (<c>Record(action, entry)</c>) or by itself (<c>Record(entry)</c>).
    /// </summary>
    /// <param name="context">The request.</param>
    /// <param name="what">What, in few words: 'alarm shelved'.</param>
    /// <param name="about">What it was done to: a vessel's id, a person's name.</param>
    /// <param name="before">State before.</param>
    /// <param name="after">State after, or the reason given.</param>
    public static AuditEntry Entry(this HttpContext context, string what, string about = "", string before = "", string after = "")
    {
        Person? person = context.Person();
        return new AuditEntry(
            context.RequestServices.GetRequiredService<Desk>().Time.GetUtcNow(), person?.Id ?? "", person?.Name ?? "", context.From(),
            what, Cut(about), Cut(before), Cut(after));
    }

    /// <summary>The caller's network address.</summary>
    public static string From(this HttpContext context)
    {
        System.Net.IPAddress? address = context.Connection.RemoteIpAddress;
        return (address is { IsIPv4MappedToIPv6: true } ? address.MapToIPv4() : address)?.ToString() ?? "";
    }

    private static string Cut(string text) => text.Length <= LongestText ? text : text[..LongestText] + "…";
}
