using DriftWatch.Plant.Alarms;

namespace DriftWatch.Host.Web.Alarms;

/// <summary>What a program does to an alarm.</summary>
/// <param name="What">acknowledge, reset, shelve, unshelve, suppress, unsuppress, removeFromService or returnToService.</param>
/// <param name="Why">Why; needed for shelve, suppress and removeFromService.</param>
/// <param name="ShelfMinutes">For shelve: how long, from 1 to the greatest shelving time of the settings (usually 30 days, 43200).</param>
internal sealed record AlarmActRequest(AlarmEvent What, string? Why = null, int? ShelfMinutes = null);
