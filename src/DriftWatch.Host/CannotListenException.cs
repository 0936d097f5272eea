namespace DriftWatch.Host;

/// <summary>A port or an address of the settings cannot be listened on; the message says which and how to mend it.</summary>
internal sealed class CannotListenException(string message, Exception inner) : IOException(message, inner);
