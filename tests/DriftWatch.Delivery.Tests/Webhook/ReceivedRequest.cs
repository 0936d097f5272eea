namespace DriftWatch.Delivery.Tests.Webhook;

/// <summary>An HTTP request as it came.</summary>
/// <param name="Line">Method and path.</param>
/// <param name="Headers">Headers by name, whatever its case.</param>
/// <param name="Body">The body's bytes.</param>
internal sealed record ReceivedRequest(string Line, IReadOnlyDictionary<string, string> Headers, byte[] Body);
