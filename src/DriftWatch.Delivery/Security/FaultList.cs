namespace DriftWatch.Delivery.Security;

/// <summary>Gathers what is wrong with settings, each with the name of its field as the settings file writes it.</summary>
internal sealed class FaultList(string at)
{
    private readonly List<string> _faults = [];

    public IReadOnlyList<string> All => _faults;

    /// <summary>The full name of a field.</summary>
    public string Field(string name) => at.Length == 0 ? name : $"{at}.{name}";

    /// <summary>Notes a fault unless the field is good; the text goes on after the field's name.</summary>
    public void Check(bool good, string field, FormattableString says)
    {
        if (!good)
        {
            _faults.Add($"{Field(field)} {FormattableString.Invariant(says)}");
        }
    }

    public void Add(IEnumerable<string> faults) => _faults.AddRange(faults);

    public void CheckName(string name) => Check(
        name.Length is >= 1 and <= 64 && name.All(letter => char.IsAsciiLetterOrDigit(letter) || letter is '-' or '_'),
        "name", $"is '{name}': give 1 to 64 of A-Z a-z 0-9 - _; it is the channel's key in the outbox.");

    public void CheckTimeout(TimeSpan timeout) => Check(
        timeout > TimeSpan.Zero && timeout <= TimeSpan.FromHours(1), "timeout", $"is {timeout:c}: give more than 0 and at most 1 h, as hh:mm:ss.");

    /// <summary>Checks that a signing secret can be read and is one; none is good.</summary>
    public void CheckSigningSecret(string field, SecretSource? source)
    {
        IReadOnlyList<string> unread = source?.Faults(Field(field)) ?? [];
        Add(unread);
        if (source is null || unread.Count > 0)
        {
            return;
        }

        try
        {
            _ = WebhookSignature.KeyOf(source.Read());
        }
        catch (FormatException fault)
        {
            Check(false, field, $"({source}): {fault.Message}");
        }
    }

    /// <summary>Refuses settings with faults, all told at once.</summary>
    /// <exception cref="ArgumentException">There are faults.</exception>
    public static void Refuse(IReadOnlyList<string> faults, string parameter)
    {
        if (faults.Count > 0)
        {
            throw new ArgumentException(string.Join(Environment.NewLine, faults), parameter);
        }
    }
}
