using System.CommandLine;
using System.Globalization;
using DriftWatch.Delivery.Security;
using DriftWatch.Host.Settings;
using DriftWatch.Host.Web.People;
using DriftWatch.Plant.People;
using DriftWatch.Storage;
using Spectre.Console;

namespace DriftWatch.Host.Commands;

/// <summary>Looks after the accounts of the plant's own from the command line: that is how the first administrator comes to be.</summary>
internal static class PeopleCommand
{
    public static Command Create() => new("people", "Look after the people who sign in to the pages; each act is written into the audit log.")
    {
        Add(),
        List(),
        Disable("disable", "Let someone in no more; ends their sessions.", true),
        Disable("enable", "Let someone in again.", false),
        Reset(),
        ChangeRole(),
        Token(),
    };

    private static Command Add()
    {
        (Option<FileInfo> settings, Argument<string> name) = (SettingsOption.Create(), Name());
        Option<Role> role = new("--role") { Description = "viewer, technician, engineer or administrator.", Required = true };
        (Option<string?> file, Option<string?> variable) = PasswordOptions();
        Command command = new("add", "Add someone. The password comes from a prompt, an environment variable or the first line of a file.") { settings, name, role, file, variable };
        command.SetAction(parsed => WithNewStore(parsed.GetRequiredValue(settings), store =>
        {
            string who = parsed.GetRequiredValue(name);
            if (Passwords.ObjectionToName(who) is { } objection)
            {
                return Refuse(objection);
            }

            if (Password(parsed.GetValue(file), parsed.GetValue(variable), who) is not { } password)
            {
                return ExitCode.BadInput;
            }

            Account account = new()
            {
                Person = new Person(Guid.NewGuid().ToString("n"), who, parsed.GetRequiredValue(role)),
                PasswordHash = new Passwords().Hash(password),
                Made = Now(),

                // Whoever lets others in knows their first password; the first administrator chooses the own one here.
                MustChange = parsed.GetRequiredValue(role) != Role.Administrator || store.Accounts().Any(other => other.Person.Role == Role.Administrator),
            };
            return After(
                store.Add(account, CommandAudit.Entry("person added", who, after: account.Person.Role.ToString())),
                $"{who} may sign in as {Word(account.Person.Role)}{(account.MustChange ? ", and is asked for a new password first" : "")}.");
        }));
        return command;
    }

    private static Command List()
    {
        Option<FileInfo> settings = SettingsOption.Create();
        Command command = new("list", "Show who may sign in.") { settings };
        command.SetAction(parsed => ExistingStore.With(parsed.GetRequiredValue(settings), (_, store) =>
        {
            foreach (Account account in store.Accounts())
            {
                string last = account.LastSignIn is { } at ? $"last signed in {at.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture)}" : "never signed in";
                Console.WriteLine($"{account.Person.Name}  {Word(account.Person.Role)}  {(account.Disabled ? "disabled" : "may sign in")}  {last}{(account.Issuer.Length > 0 ? $"  vouched for by {account.Issuer}" : "")}");
            }

            return ExitCode.Done;
        }));
        return command;
    }

    private static Command Disable(string verb, string description, bool disabled)
    {
        (Option<FileInfo> settings, Argument<string> name) = (SettingsOption.Create(), Name());
        Command command = new(verb, description) { settings, name };
        command.SetAction(parsed => Change(
            parsed.GetRequiredValue(settings), parsed.GetRequiredValue(name), disabled ? "person disabled" : "person enabled",
            account => account with { Disabled = disabled }, disabled ? "is let in no more." : "is let in again."));
        return command;
    }

    private static Command Reset()
    {
        (Option<FileInfo> settings, Argument<string> name) = (SettingsOption.Create(), Name());
        (Option<string?> file, Option<string?> variable) = PasswordOptions();
        Command command = new("reset", "Set a new password, which the person has to change at the next sign-in; ends their sessions.") { settings, name, file, variable };
        command.SetAction(parsed =>
        {
            string who = parsed.GetRequiredValue(name);
            return Password(parsed.GetValue(file), parsed.GetValue(variable), who) is not { } password
                ? ExitCode.BadInput
                : Change(
                    parsed.GetRequiredValue(settings), who, "password reset",
                    account => account with { PasswordHash = new Passwords().Hash(password), MustChange = true }, "has a new password.");
        });
        return command;
    }

    private static Command ChangeRole()
    {
        (Option<FileInfo> settings, Argument<string> name) = (SettingsOption.Create(), Name());
        Argument<Role> role = new("role") { Description = "viewer, technician, engineer or administrator." };
        Command command = new("role", "Give someone another role; ends their sessions.") { settings, name, role };
        command.SetAction(parsed =>
        {
            Role now = parsed.GetRequiredValue(role);
            return Change(
                parsed.GetRequiredValue(settings), parsed.GetRequiredValue(name), "role changed",
                account => account with { Person = account.Person with { Role = now } }, $"is {Word(now)} now.");
        });
        return command;
    }

    private static Command Token()
    {
        (Option<FileInfo> settings, Argument<string> name) = (SettingsOption.Create(), Name());
        Argument<string> label = new("for") { Description = "What the token is for." };
        Option<Role> role = new("--role") { Description = "What it may do at most: viewer, technician, engineer or administrator.", DefaultValueFactory = _ => Role.Viewer };
        Option<int> days = new("--days") { Description = "Days until it ends, 1 to 366.", DefaultValueFactory = _ => AccessTokens.UsualDays };
        Command command = new("token", "Make an access token of someone for a program; it is shown once and not kept.") { settings, name, label, role, days };
        command.SetAction(parsed => ExistingStore.With(parsed.GetRequiredValue(settings), (_, store) =>
        {
            string who = parsed.GetRequiredValue(name);
            if (store.Accounts().Where(account => string.Equals(account.Person.Name, who, StringComparison.OrdinalIgnoreCase)).ToList() is not [var owner])
            {
                return Refuse($"There is nobody, or more than one, named {who}; 'people list' shows who there is.");
            }

            (string? objection, AccessToken? token, string secret) = AccessTokens.Make(owner.Person, parsed.GetRequiredValue(label), parsed.GetValue(role), parsed.GetValue(days), Now());
            if (token is null)
            {
                return Refuse(objection!);
            }

            store.Add(token, AccessTokens.KeyOf(secret), CommandAudit.Entry("token made", owner.Person.Name, after: AccessTokens.Words(token)));
            return Say(secret);
        }));
        return command;
    }

    private static int Change(FileInfo settings, string name, string what, Func<Account, Account> change, string said) => ExistingStore.With(settings, (_, store) =>
    {
        if (store.AccountNamed(name) is not { } account)
        {
            return Refuse($"There is nobody named {name} with an account of the plant's own; 'people list' shows who there is.");
        }

        Account after = change(account);
        (string before, string then) = after.Person.Role == account.Person.Role ? ("", "") : (account.Person.Role.ToString(), after.Person.Role.ToString());
        return After(store.Change(account.Person.Id, _ => after, CommandAudit.Entry(what, account.Person.Name, before, then), now => now == account), $"{account.Person.Name} {said}");
    });

    private static int After(WriteOutcome outcome, string said) => outcome.Kind == WriteOutcomeKind.Done ? Say(said) : Refuse(outcome.Why);

    private static Argument<string> Name() => new("name") { Description = "Name to sign in with." };

    private static (Option<string?> File, Option<string?> Variable) PasswordOptions() => (
        new Option<string?>("--password-file") { Description = "File whose first line is the password." },
        new Option<string?>("--password-env") { Description = "Environment variable that holds the password." });

    /// <summary>The password, good for its account; null with the reason told.</summary>
    private static string? Password(string? file, string? variable, string name)
    {
        string password;
        if (file is not null || variable is not null)
        {
            SecretSource source = new() { File = file, EnvironmentVariable = variable };
            if (source.Faults("The password") is [var fault, ..])
            {
                _ = Refuse(fault);
                return null;
            }

            password = source.Read();
        }
        else if (Console.IsInputRedirected)
        {
            _ = Refuse("There is no terminal to ask for the password: give --password-file or --password-env.");
            return null;
        }
        else
        {
            password = AnsiConsole.Prompt(new TextPrompt<string>($"Password for {Markup.Escape(name)}:").Secret(null));
            if (AnsiConsole.Prompt(new TextPrompt<string>("Again:").Secret(null)) != password)
            {
                _ = Refuse("The two differ.");
                return null;
            }
        }

        if (Passwords.Objection(password, name) is { } objection)
        {
            _ = Refuse(objection);
            return null;
        }

        return password;
    }

    /// <summary>People may be added before the service has run for the first time.</summary>
    private static int WithNewStore(FileInfo file, Func<PlantStore, int> work)
    {
        if (SettingsOption.Read(file, Console.Error) is not { } settings)
        {
            return ExitCode.BadInput;
        }

        DataFolder.Make(settings.DataFolder);
        using var store = new PlantStore(new StoreOptions { Path = ServiceComposition.StorePath(settings) });
        return work(store);
    }

    private static string Word(Role role) => role.ToString().ToLowerInvariant();

    private static DateTimeOffset Now() => TimeProvider.System.GetUtcNow();

    private static int Say(string line)
    {
        Console.WriteLine(line);
        return ExitCode.Done;
    }

    private static int Refuse(string why)
    {
        Console.Error.WriteLine(why);
        return ExitCode.BadInput;
    }
}
