namespace DriftWatch.Storage;

/// <summary>
/// The store could not do what was asked and has changed nothing: the disk is full or gone, the file is locked by
/// another process, damaged, or of a newer schema. The message says which and how to mend it; a write may be tried again.
/// </summary>
public sealed class StoreUnavailableException : Exception
{
    /// <summary>Without a cause.</summary>
    public StoreUnavailableException(string message)
        : base(message)
    {
    }

    /// <summary>With the cause that the database gave.</summary>
    public StoreUnavailableException(string message, Exception innerException)
        : base(message, innerException)
    {
    }
}
