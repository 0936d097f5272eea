using DriftWatch.Acquisition.Door;

namespace DriftWatch.Acquisition.Payloads;

/// <summary>A signal and the name it goes by in payloads, UTF-8; empty where its topic carries no other.</summary>
internal sealed record NamedSource(byte[] Name, DoorEntry Entry);
