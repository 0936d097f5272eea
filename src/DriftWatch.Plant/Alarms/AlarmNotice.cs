using System.Globalization;
using DriftWatch.Plant.Notices;

namespace DriftWatch.Plant.Alarms;

/// <summary>One message on an alarm: the alarm as it is now.</summary>
/// <param name="Alarm">The alarm.</param>
/// <param name="Place">Where the vessel is; empty where the register no longer says.</param>
/// <param name="Revision">Counts the messages on this alarm, from 1; the greatest stands.</param>
/// <param name="At">When it came to be so, UTC.</param>
/// <param name="By">Who or what brought it: a person, or <c>data</c>, <c>design</c> or <c>clock</c>.</param>
/// <param name="Because">Why, in one sentence; empty where a person gave no reason.</param>
public sealed record AlarmNotice(Alarm Alarm, string Place, int Revision, DateTimeOffset At, string By, string Because) : INotice
{
    /// <summary>Key by which a receiver tells a repeated message from a new one.</summary>
    public string Key => string.Create(CultureInfo.InvariantCulture, $"{Alarm.VesselId}/{Alarm.Kind}/{Revision}");

    /// <inheritdoc/>
    string INotice.VesselId => Alarm.VesselId;

    /// <summary>What happened, in one word for a receiver that knows no alarm states.</summary>
    public AlarmNews News => Alarm.Status.State switch
    {
        AlarmState.Unacknowledged => AlarmNews.Raised,
        AlarmState.Acknowledged => AlarmNews.Acknowledged,
        AlarmState.Shelved => AlarmNews.Shelved,
        AlarmState.SuppressedByDesign => AlarmNews.Suppressed,
        AlarmState.OutOfService => AlarmNews.TakenOutOfService,
        AlarmState.Normal => AlarmNews.Normal,
        _ => AlarmNews.Returned,
    };
}
