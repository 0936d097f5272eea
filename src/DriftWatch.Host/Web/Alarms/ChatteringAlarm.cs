using DriftWatch.Plant.Alarms;

namespace DriftWatch.Host.Web.Alarms;

/// <summary>An alarm that comes and goes.</summary>
public sealed record ChatteringAlarm(string VesselId, AlarmKind Kind);
