namespace DriftWatch.Delivery.Dispatch;

/// <summary>How the delivery to one channel stands.</summary>
/// <param name="Channel">Name of the channel.</param>
/// <param name="Delivered">Notices it has taken since the start.</param>
/// <param name="Failed">Attempts that failed since the start; refusals of single notices are not among them.</param>
/// <param name="Fault">Why it took nothing when it was last tried; null when it took, or was not tried yet.</param>
/// <param name="FailingSince">When it first failed after it last took something, UTC; null when it does not fail.</param>
/// <param name="RefusedRecipients">Recipients whom it refused when it last took a notice for others, with its reasons; null for none.</param>
public sealed record ChannelStatus(string Channel, long Delivered, long Failed, string? Fault, DateTimeOffset? FailingSince, string? RefusedRecipients);
