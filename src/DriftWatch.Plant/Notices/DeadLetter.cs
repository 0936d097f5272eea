namespace DriftWatch.Plant.Notices;

/// <summary>A notice that a channel would not take, set aside until somebody sends it again.</summary>
/// <param name="Channel">The channel.</param>
/// <param name="Sequence">Order of entry into the outbox; with the channel its key.</param>
/// <param name="Notice">The notice.</param>
/// <param name="Tries">Failed tries before it was set aside.</param>
/// <param name="SetAside">When it was set aside, UTC.</param>
/// <param name="Error">What went wrong at the last try.</param>
public sealed record DeadLetter(string Channel, long Sequence, INotice Notice, int Tries, DateTimeOffset SetAside, string Error);
