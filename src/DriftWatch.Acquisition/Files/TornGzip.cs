using System.IO.Compression;

namespace DriftWatch.Acquisition.Files;

/// <summary>
/// A gzip file unpacked up to where it is torn or spoilt, where it ends instead of failing. It ends there with a whole line, as
/// half a number is another number.
/// </summary>
internal sealed class TornGzip(Stream packed) : Stream
{
    private readonly GZipStream _gzip = new(packed, CompressionMode.Decompress);
    private readonly byte[] _unpacked = new byte[1 << 16];
    private int _given;
    private int _whole;
    private int _end;
    private bool _ended;

    /// <summary>Why it ended too early; null while it has not.</summary>
    public string? Tear { get; private set; }

    public override bool CanRead => true;

    public override bool CanSeek => false;

    public override bool CanWrite => false;

    public override long Length => throw new NotSupportedException();

    public override long Position
    {
        get => throw new NotSupportedException();
        set => throw new NotSupportedException();
    }

    public override int Read(Span<byte> buffer)
    {
        while (_given == _whole && !_ended)
        {
            Fill();
        }

        int count = Math.Min(buffer.Length, _whole - _given);
        _unpacked.AsSpan(_given, count).CopyTo(buffer);
        _given += count;
        return count;
    }

    public override int Read(byte[] buffer, int offset, int count) => Read(buffer.AsSpan(offset, count));

    public override void Flush()
    {
    }

    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    public override void SetLength(long value) => throw new NotSupportedException();

    public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            _gzip.Dispose();
        }

        base.Dispose(disposing);
    }

    /// <summary>Unpacks more. The begin of a line is given only when its end has come, or fills all there is room for.</summary>
    private void Fill()
    {
        _unpacked.AsSpan(_whole, _end - _whole).CopyTo(_unpacked);
        _end -= _whole;
        _given = 0;
        _whole = 0;
        try
        {
            int count = _gzip.Read(_unpacked.AsSpan(_end));
            _ended = count == 0;
            _end += count;
        }
        catch (InvalidDataException tear)
        {
            _ended = true;
            Tear = tear.Message;
            _end = 0;
        }

        int lastEnd = _unpacked.AsSpan(0, _end).LastIndexOfAny((byte)'\n', (byte)'\r');
        _whole = _ended || (lastEnd < 0 && _end == _unpacked.Length) ? _end : lastEnd + 1;
    }
}
