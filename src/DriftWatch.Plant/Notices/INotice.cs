namespace DriftWatch.Plant.Notices;

/// <summary>A message to the maintenance queues: of a job or of an alarm. The outbox keeps both in one order.</summary>
public interface INotice
{
    /// <summary>Key by which a receiver tells a repeated message from a new one.</summary>
    string Key { get; }

    /// <summary>The vessel that it is about: its messages stay in order.</summary>
    string VesselId { get; }
}
