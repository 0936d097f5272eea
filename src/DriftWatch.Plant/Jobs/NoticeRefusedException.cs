namespace DriftWatch.Plant.Jobs;

/// <summary>
/// The far side of a channel is there and will not take this notice. Any other exception of a delivery means that the
/// channel is away: that counts against no notice.
/// </summary>
public sealed class NoticeRefusedException : Exception
{
    /// <summary>A refusal.</summary>
    /// <param name="message">What the far side said, and how to mend it.</param>
    /// <param name="permanent">True when the far side says that the same notice will never be taken.</param>
    /// <param name="innerException">The cause, where there is one.</param>
    public NoticeRefusedException(string message, bool permanent, Exception? innerException = null)
        : base(message, innerException)
    {
        IsPermanent = permanent;
    }

    /// <summary>Whether another try with the same notice is of no use.</summary>
    public bool IsPermanent { get; }
}
