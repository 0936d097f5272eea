using System.Globalization;
using DriftWatch.Gas.Units;
using DriftWatch.Plant.Records;
using DriftWatch.Plant.Register;
using Microsoft.AspNetCore.Http;

namespace DriftWatch.Host.Web.Rounds;

/// <summary>Reads the forms that record a check, a charge or a change of a transducer. Numbers have a decimal point, as number fields of browsers send them.</summary>
internal static class WorkForm
{
    /// <summary>A device whose clock is off by more than this is set right by when it sent.</summary>
    private static readonly TimeSpan ClockDoubt = TimeSpan.FromMinutes(2);

    /// <summary>What the field for the time sends, to the minute or finer: without an offset, or with the Z that scripts add, as its label says UTC.</summary>
    private static readonly string[] FieldForms =
    [
        "yyyy-MM-dd'T'HH:mm", "yyyy-MM-dd'T'HH:mm'Z'", "yyyy-MM-dd'T'HH:mm:ss", "yyyy-MM-dd'T'HH:mm:ss.FFF", "yyyy-MM-dd HH:mm", "yyyy-MM-dd HH:mm:ss",
    ];

    /// <summary>Fields of a record, and what the forms call them.</summary>
    private static readonly (string Name, string Label)[] Labels =
    [
        ("id", "The entry's id"), ("at", "The time"), ("who", "Who did it"), ("gasPressureBarGauge", "Gas pressure, bar gauge,"), ("gasTemperatureCelsius", "Gas temperature, °C,"),
        ("nitrogenKg", "Nitrogen used, kg,"), ("gaugeId", "Gauge (its number)"), ("isolatedAndReleased", "That the fluid side was isolated and fully released"),
        ("note", "The note"), ("why", "What is wrong with it"),
    ];

    /// <summary>Reads a form.</summary>
    /// <param name="form">
    /// The form: id, at (empty for now), sent (only where 'at' is of the device's clock), who, note; of a check or a charge also pressure, unit,
    /// temperature, confirmed, gauge, nitrogen.
    /// </param>
    /// <param name="kind">What is recorded.</param>
    /// <param name="vesselId">Of which vessel.</param>
    /// <param name="enteredBy">Who is signed in.</param>
    /// <param name="now">The time of day at the plant, UTC.</param>
    /// <param name="faults">What cannot be read, a line each.</param>
    /// <returns>The record as far as it could be read; it is not checked yet.</returns>
    public static WorkRecord Read(IFormCollection form, WorkKind kind, string vesselId, string enteredBy, DateTimeOffset now, List<string> faults)
    {
        (double Bar, double Celsius)? reading = kind == WorkKind.TransducerChange ? null : Reading(form, faults);
        string who = form["who"].ToString().Trim();
        return new WorkRecord
        {
            Id = Guid.TryParse(form["id"].ToString(), out Guid id) ? id : Guid.Empty,
            VesselId = vesselId,
            Kind = kind,
            At = At(form, now, faults),
            Who = who.Length > 0 ? who : enteredBy,
            GasPressureBarGauge = reading?.Bar,
            GasTemperatureCelsius = reading?.Celsius,
            NitrogenKg = kind == WorkKind.Charge ? Number(form, "nitrogen", "The nitrogen used", faults) : null,
            GaugeId = form["gauge"].ToString().Trim(),
            IsolatedAndReleased = form["confirmed"].ToString().Length > 0,
            Note = form["note"].ToString().Trim(),
            JobKey = form["job"].ToString().Trim(),
            Source = RecordSource.Page,
            EnteredBy = enteredBy,
            Received = now,
        };
    }

    /// <summary>What was read at the vessel, bar gauge and degrees C; null, with what is wrong, where one of them cannot be used.</summary>
    private static (double Bar, double Celsius)? Reading(IFormCollection form, List<string> faults)
    {
        double? value = Number(form, "pressure", "The gauge pressure", faults);
        PressureUnit? unit = PressureUnit.All.FirstOrDefault(known => known.Symbol == form["unit"].ToString());
        if (unit is null)
        {
            faults.Add($"The unit of the pressure is missing or unknown. Give one of {string.Join(", ", PressureUnit.All)}.");
        }

        double? celsius = Number(form, "temperature", "The gas temperature", faults);
        if (value is not null && celsius is not null)
        {
            return unit is null ? null : (value.Value * unit.PascalsPerUnit / PressureUnit.Bar.PascalsPerUnit, celsius.Value);
        }

        if (faults.Count == 0)
        {
            faults.Add("Gauge pressure and gas temperature are both needed: without them nothing can be said of the precharge.");
        }

        return null;
    }

    /// <summary>A fault of a record as the form names its fields.</summary>
    public static string ForReaders(string fault)
    {
        (string name, string label) = Labels.FirstOrDefault(field => fault.StartsWith(field.Name + " ", StringComparison.Ordinal));
        return name is null ? fault : label + fault[name.Length..];
    }

    /// <summary>
    /// When the work was done: as somebody gave it, or by the clock of a device, which says when it sent: a clock that is set
    /// wrong is wrong alike then.
    /// </summary>
    private static DateTimeOffset At(IFormCollection form, DateTimeOffset now, List<string> faults)
    {
        string text = form["at"].ToString().Trim();
        if (text.Length == 0)
        {
            return now;
        }

        if (!Instant(text, out DateTimeOffset at))
        {
            faults.Add($"'{text}' is no time. Give date and time in UTC, like 2026-10-01T06:00, or with its offset, like 2026-10-01T08:00:00+02:00.");
            return now;
        }

        return Instant(form["sent"].ToString(), out DateTimeOffset sent) && (now - sent).Duration() > ClockDoubt ? now - (sent - at) : at;
    }

    private static bool Instant(string text, out DateTimeOffset instant) => Rfc3339.TryParse(text, out instant) || DateTimeOffset.TryParseExact(
        text, FieldForms, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal | DateTimeStyles.AdjustToUniversal, out instant);

    private static double? Number(IFormCollection form, string name, string what, List<string> faults)
    {
        string text = form[name].ToString().Trim();
        if (text.Length == 0)
        {
            return null;
        }

        if (double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out double value) && double.IsFinite(value))
        {
            return value;
        }

        faults.Add($"{what} '{text}' is no number. Give it with a decimal point.");
        return null;
    }
}
