using System.Text;
using DriftWatch.Acquisition.Door;
using DriftWatch.Plant.Register;

namespace DriftWatch.Acquisition.Payloads;

/// <summary>A signal and where plain JSON holds it.</summary>
/// <param name="Entry">The way in.</param>
/// <param name="Value">Where the value stands in a record.</param>
/// <param name="Time">Where the time stands in a record; null for the usual field.</param>
/// <param name="Records">Where the records stand; null where the payload is the record.</param>
/// <param name="TimeFormat">How the time is written.</param>
/// <param name="EachOfArray">Whether a payload that is an array is a list of records.</param>
internal sealed record MappedSource(
    DoorEntry Entry, JsonPointer Value, JsonPointer? Time, JsonPointer? Records, SourceTime TimeFormat, bool EachOfArray)
{
    /// <summary>What it is called in messages.</summary>
    public string Place { get; } = Value.Text;

    public byte[] PlaceUtf8 { get; } = Encoding.UTF8.GetBytes(Value.Text);
}
