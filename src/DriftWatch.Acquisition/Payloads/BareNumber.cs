using System.Globalization;
using DriftWatch.Plant.Register;

namespace DriftWatch.Acquisition.Payloads;

/// <summary>A payload that is one number as text, such as <c>+101.5</c>, or <c>true</c> or <c>false</c> for a contact.</summary>
internal static class BareNumber
{
    private const int Longest = 64;

    /// <returns>Null, or why the payload has to be given up.</returns>
    public static string? Read(ReadOnlySpan<byte> payload, TopicSources sources, PayloadIntake intake)
    {
        if (!intake.ArrivalIsReadingTime)
        {
            return PayloadIntake.NoTime;
        }

        NamedSource source = sources.Nameless!;
        if (!TryNumber(payload, source.Entry.Unit, out double number))
        {
            return "it is no number; a number with a decimal point and nothing else is needed";
        }

        intake.Offer(source.Entry, number, null, intake.Arrived, 0, default);
        return null;
    }

    private static bool TryNumber(ReadOnlySpan<byte> payload, SourceUnit? unit, out double number)
    {
        number = 0;
        if (payload.Length > Longest)
        {
            return false;
        }

        ReadOnlySpan<byte> text = payload.Trim(" \t\r\n"u8);
        if (unit is null && (text.SequenceEqual("true"u8) || text.SequenceEqual("false"u8)))
        {
            number = text.Length == "true".Length ? 1 : 0;
            return true;
        }

        return double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out number);
    }
}
