using System.Globalization;
using System.Text;

namespace DriftWatch.Acquisition.Files;

/// <summary>Writes rejected rows beside the file they are from: line, reason, row. Bounded, and made only when there is one.</summary>
internal sealed class RejectsFile(string path) : IDisposable
{
    private const int MostRows = 10_000;

    private StreamWriter? _writer;
    private long _told;

    /// <summary>Rows rejected, those not written included.</summary>
    public long Count { get; private set; }

    /// <summary>Doubts told of rows that were taken.</summary>
    public long Doubts => _told - Count;

    /// <summary>The first row rejected, or else the first doubt.</summary>
    public RejectedRow? First { get; private set; }

    public void Add(RejectedRow row)
    {
        First = First is null || (First.Taken && !row.Taken) ? row : First;
        Count += row.Taken ? 0 : 1;
        if (_told++ >= MostRows)
        {
            return;
        }

        if (_writer is null)
        {
            _writer = new StreamWriter(path, append: false, new UTF8Encoding(encoderShouldEmitUTF8Identifier: false));
            _writer.WriteLine("line,reason,row");
        }

        _writer.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{row.Line},{Quoted(row.Reason)},{Quoted(row.Text)}"));
    }

    public void Dispose()
    {
        if (_told > MostRows)
        {
            _writer?.WriteLine(string.Create(CultureInfo.InvariantCulture, $"0,\"and {_told - MostRows} more, not listed\",\"\""));
        }

        _writer?.Dispose();
    }

    private static string Quoted(string text) => $"\"{text.ReplaceLineEndings(" ").Replace("\"", "\"\"", StringComparison.Ordinal)}\"";
}
