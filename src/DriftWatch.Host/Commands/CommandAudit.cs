using DriftWatch.Plant.People;

namespace DriftWatch.Host.Commands;

/// <summary>Lines of the audit log for what is done by a command: nobody signs in there, so the account of the machine stands for the person.</summary>
internal static class CommandAudit
{
    /// <summary>From where.</summary>
    public const string From = "command line";

    /// <summary>A line about what was just done.</summary>
    public static AuditEntry Entry(string what, string about, string before = "", string after = "") =>
        new(TimeProvider.System.GetUtcNow(), "", Environment.UserName, From, what, about, before, after);
}
