using System.Buffers;
using System.Buffers.Binary;

namespace DriftWatch.Storage.Blocks;

/// <summary>Writes the parts of a block: little-endian, integers in groups of seven bits (LEB128), signed ones zigzag.</summary>
internal sealed class ByteWriter
{
    private readonly ArrayBufferWriter<byte> _buffer = new(1024);

    public int Length => _buffer.WrittenCount;

    public ReadOnlySpan<byte> Written => _buffer.WrittenSpan;

    public void Byte(byte value)
    {
        _buffer.GetSpan(1)[0] = value;
        _buffer.Advance(1);
    }

    public void Varint(ulong value)
    {
        Span<byte> span = _buffer.GetSpan(10);
        int length = 0;
        while (value >= 0x80)
        {
            span[length++] = (byte)(value | 0x80);
            value >>= 7;
        }

        span[length++] = (byte)value;
        _buffer.Advance(length);
    }

    public void Signed(long value) => Varint((ulong)((value << 1) ^ (value >> 63)));

    public void Fixed(long value)
    {
        BinaryPrimitives.WriteInt64LittleEndian(_buffer.GetSpan(8), value);
        _buffer.Advance(8);
    }

    public void Double(double value) => Fixed(BitConverter.DoubleToInt64Bits(value));

    public void Bytes(ReadOnlySpan<byte> bytes) => _buffer.Write(bytes);
}
