namespace DriftWatch.Delivery.Answers;

/// <summary>What came of an answer.</summary>
public enum AnswerResult
{
    /// <summary>It is on record now.</summary>
    Recorded,

    /// <summary>It was on record already.</summary>
    Repeated,

    /// <summary>Nobody vouches for the sender; set aside.</summary>
    NotAuthentic,

    /// <summary>It cannot be used; set aside with the reason.</summary>
    Refused,
}
