using CsCheck;

namespace DriftWatch.Fuzz;

/// <summary>One way of spoiling bytes.</summary>
internal readonly record struct Spoiling(int Kind, int At, int Length, byte Byte)
{
    /// <summary>Pieces on which decoders have stumbled: ends of ranges, lengths that lie, depth, other languages' numbers.</summary>
    private static readonly byte[][] Pieces =
    [
        [.. "1e400"u8], [.. "-1e-400"u8], [.. "NaN"u8], [.. "9223372036854775808"u8], [.. "\\ud800"u8], [.. "\\u0000"u8], [.. "[[[[[[[[[["u8], [.. "{\"a\":"u8],
        [0x9F], [0xBF], [0xFF], [0x5B, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF], [0xC2, 0x41, 0x00], [0xC4, 0x82, 0x1B, 0x7F, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0x01],
        [0xFB, 0x7F, 0xF8, 0, 0, 0, 0, 0, 0], [0x08, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0x01], [0x12, 0x80, 0x80, 0x80, 0x80, 0x08], [0xC3, 0x28], [0xEF, 0xBB, 0xBF],
        [.. ";;;;\r\n"u8], [.. "\"\"\""u8], [.. "31.02.2025 25:61"u8],
    ];

    public static Gen<Spoiling> Gen { get; } = CsCheck.Gen.Select(
        CsCheck.Gen.Int[0, 6], CsCheck.Gen.Int[0, 2000], CsCheck.Gen.Int[1, 24], CsCheck.Gen.Byte, (kind, at, length, value) => new Spoiling(kind, at, length, value));

    /// <summary>The bytes, spoilt.</summary>
    public byte[] Spoil(byte[] bytes)
    {
        int at = bytes.Length == 0 ? 0 : At % bytes.Length;
        int length = Math.Min(Length, bytes.Length - at);
        ReadOnlySpan<byte> before = bytes.AsSpan(0, at);
        ReadOnlySpan<byte> after = bytes.AsSpan(at);
        return Kind switch
        {
            0 when bytes.Length > 0 => [.. before, Byte, .. after[1..]],
            1 when bytes.Length > 0 => [.. before, (byte)(after[0] ^ (1 << (Byte & 7))), .. after[1..]],
            2 => [.. before, .. after[length..]],
            3 => [.. before, .. after[..length], .. after],
            4 => [.. before, .. Pieces[Byte % Pieces.Length], .. after],
            5 => [.. before],
            _ => [.. before, Byte, .. after],
        };
    }
}
