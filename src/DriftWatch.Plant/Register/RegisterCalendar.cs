using Range = DriftWatch.Plant.Register.RegisterObject.Range;

namespace DriftWatch.Plant.Register;

/// <summary>Reads the plant's calendar of the register.</summary>
internal static class RegisterCalendar
{
    public static PlantCalendar Read(RegisterObject file)
    {
        if (file.OptionalObject("calendar") is not { } calendar)
        {
            return PlantCalendar.Default;
        }

        List<DateTimeOffset> stops = RegisterInstants.Read(calendar, "plannedStops", "planned stop", "2026-08-03T06:00:00+02:00");
        double? lead = calendar.OptionalNumber("leadTimeDays", Range.From(0, 365, "days"));
        double? shift = calendar.OptionalNumber("prognosisShiftDays", Range.Above(0, 365, "days"));
        double? declined = calendar.OptionalNumber("raiseDeclinedAfterDays", Range.Above(0, 3650, "days"));
        calendar.Close();
        return new PlantCalendar(
            stops,
            lead is { } days ? TimeSpan.FromDays(days) : PlantCalendar.Default.LeadTime,
            shift is { } moved ? TimeSpan.FromDays(moved) : PlantCalendar.Default.PrognosisShift)
        {
            RaiseDeclinedAfter = declined is { } after ? TimeSpan.FromDays(after) : PlantCalendar.Default.RaiseDeclinedAfter,
        };
    }
}
