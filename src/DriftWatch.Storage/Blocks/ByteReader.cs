using System.Buffers.Binary;

namespace DriftWatch.Storage.Blocks;

/// <summary>Reads what <see cref="ByteWriter"/> writes; damaged bytes give <see cref="InvalidDataException"/>.</summary>
internal ref struct ByteReader(ReadOnlySpan<byte> bytes)
{
    private ReadOnlySpan<byte> _rest = bytes;

    public readonly ReadOnlySpan<byte> Rest => _rest;

    public byte Byte() => Take(1)[0];

    public ulong Varint()
    {
        ulong value = 0;
        for (int shift = 0; shift < 70; shift += 7)
        {
            byte part = Byte();
            value |= (ulong)(part & 0x7F) << shift;
            if (part < 0x80)
            {
                return value;
            }
        }

        throw Damaged();
    }

    public long Signed()
    {
        ulong value = Varint();
        return (long)(value >> 1) ^ -(long)(value & 1);
    }

    public int Count(int most)
    {
        ulong count = Varint();
        return count <= (ulong)most ? (int)count : throw Damaged();
    }

    public long Fixed() => BinaryPrimitives.ReadInt64LittleEndian(Take(8));

    public double Double() => BitConverter.Int64BitsToDouble(Fixed());

    public ReadOnlySpan<byte> Take(int length)
    {
        if (length > _rest.Length)
        {
            throw Damaged();
        }

        ReadOnlySpan<byte> taken = _rest[..length];
        _rest = _rest[length..];
        return taken;
    }

    private static InvalidDataException Damaged() => new("A stored block is damaged.");
}
