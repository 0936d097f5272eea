using System.Globalization;

namespace DriftWatch.Acquisition.Files;

/// <summary>What a logger writes in place of a reading when the sensor has failed.</summary>
internal sealed class LoggerErrorCodes
{
    private readonly string[] _texts;
    private readonly double[] _numbers;

    public LoggerErrorCodes(IReadOnlyList<string> codes)
    {
        _texts = [.. codes.Select(code => code.Trim())];
        _numbers = [.. _texts.Where(IsNumber).Select(text => double.Parse(text, CultureInfo.InvariantCulture))];

        static bool IsNumber(string text) => double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out _);
    }

    /// <summary>Whether a cell holds one as text.</summary>
    public bool Holds(ReadOnlySpan<char> cell)
    {
        foreach (string text in _texts)
        {
            if (cell.Equals(text, StringComparison.OrdinalIgnoreCase))
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>Whether a cell holds one as a number, however it is written (-9999 and -9999,0).</summary>
    public bool Holds(double number) => _numbers.AsSpan().Contains(number);
}
