using DriftWatch.Plant.Following;
using DriftWatch.Plant.Jobs;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Plant.History;

/// <summary>Port: what the store keeps of each vessel. One writer a vessel at a time.</summary>
public interface IVesselHistory
{
    /// <summary>Vessels whose readings wait to be taken in.</summary>
    IReadOnlyList<VesselInbox> Waiting();

    /// <summary>Newest checkpoint strictly before an instant, or null. Pass <see cref="DateTimeOffset.MaxValue"/> for the newest of all.</summary>
    VesselCheckpoint? CheckpointBefore(string vesselId, DateTimeOffset instant);

    /// <summary>Readings with an instant strictly after the one given, in the order of <see cref="Reading.CompareTo"/>, streamed.</summary>
    IEnumerable<Reading> ReadingsAfter(string vesselId, DateTimeOffset instant);

    /// <summary>Inbox and readings of a vessel as they stand now, for one step of its assessment.</summary>
    IVesselView View(string vesselId);

    /// <summary>All windows of a vessel in order of time.</summary>
    IReadOnlyList<PrechargeWindow> Windows(string vesselId);

    /// <summary>The last assessment stored, or null.</summary>
    Assessment? LastAssessment(string vesselId);

    /// <summary>The last notice of each job of a vessel, in the order in which the jobs were raised.</summary>
    IReadOnlyList<JobNotice> LastNotices(string vesselId);

    /// <summary>What the newest state of a vessel rests on beside the readings; null where that is not known.</summary>
    VesselBasis? BasisOf(string vesselId);

    /// <summary>Writes one step in one transaction: windows, assessment, checkpoint, jobs, alarm changes and outbox, and the inbox up to its sequence.</summary>
    void Save(VesselStep step);
}
