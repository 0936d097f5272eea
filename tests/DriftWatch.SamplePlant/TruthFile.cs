using System.Globalization;
using System.Text.Json.Nodes;

namespace DriftWatch.SamplePlant;

/// <summary>The planted truth, for tests to hold verdicts against.</summary>
public static class TruthFile
{
    /// <summary>Truth of every vessel at the end of its data.</summary>
    public static JsonObject Json(IEnumerable<VesselScript> vessels, ulong seed)
    {
        return new JsonObject
        {
            ["seed"] = seed,
            ["start"] = RegisterFile.Instant(Plant.Start),
            ["end"] = RegisterFile.Instant(Plant.End),
            ["vessels"] = new JsonArray([.. vessels.Select(script => Vessel(script, seed))]),
        };
    }

    private static JsonObject Vessel(VesselScript script, ulong seed)
    {
        var gasSide = new GasSide(script);
        double months = (script.End - gasSide.SegmentStart) / GasSide.Month;
        double startBar = gasSide.PrechargeBarGauge(script.Start);
        double endBar = gasSide.PrechargeBarGauge(script.End);
        double lossBarPerMonth = (gasSide.PrechargeBarGauge(gasSide.SegmentStart) - endBar) / months;
        double nominalAbsoluteBar = script.NominalBarGauge + (script.BarometricPa / 1e5);
        var sensors = new Sensors(script, new Dice(seed, script.Id, "calibration"), new Dice(seed, script.Id, "noise"));
        IReadOnlyList<Stretch> stretches = VesselRun.Timetable(script, seed);
        Stretch[] released = [.. stretches.Where(stretch => stretch.State == FluidState.Released)];

        var vessel = new JsonObject
        {
            ["id"] = script.Id,
            ["kind"] = script.Kind,
            ["expectedVerdict"] = script.ExpectedVerdict.ToString(),
            ["start"] = RegisterFile.Instant(script.Start),
            ["end"] = RegisterFile.Instant(script.End),
            ["prechargeAtStartBarGauge"] = Math.Round(startBar, 3),
            ["prechargeAtEndBarGauge"] = Math.Round(endBar, 3),
            ["segmentStart"] = RegisterFile.Instant(gasSide.SegmentStart),
            ["prechargeAtSegmentStartBarGauge"] = Math.Round(gasSide.PrechargeBarGauge(gasSide.SegmentStart), 3),
            ["lossBarPerMonth"] = Math.Round(lossBarPerMonth, 4),
            ["lossPercentPerMonth"] = Math.Round(100 * lossBarPerMonth / nominalAbsoluteBar, 4),
            ["lowerLimitCrossing"] = gasSide.LowerLimitCrossing() is { } crossing ? RegisterFile.Instant(crossing) : null,
            ["pressureOffsetBar"] = Math.Round(sensors.PressureOffsetBar, 4),
            ["temperatureOffsetKelvin"] = Math.Round(sensors.TemperatureOffsetK, 4),
            ["releases"] = released.Length,
            ["lastReleaseEnd"] = RegisterFile.Instant(script.Start.AddMinutes(released[^1].EndMinute)),
            ["events"] = new JsonArray([.. Events(script)]),
        };
        if (script.TrappedShare > 0)
        {
            vessel["trappedFluidNights"] = new JsonArray([.. stretches
                .Where(stretch => stretch.State == FluidState.Trapped)
                .Select(stretch => (JsonNode)script.Start.AddMinutes(stretch.StartMinute).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture))]);
        }

        return vessel;
    }

    private static IEnumerable<JsonNode> Events(VesselScript script)
    {
        foreach (Recharge recharge in script.Recharges)
        {
            JsonObject node = Event(recharge.OnRecord ? "recorded recharge" : "unrecorded recharge", recharge.At, null);
            node["toBarGauge"] = recharge.ToBarGauge;
            yield return node;
        }

        if (script.BurstAt is { } burst)
        {
            yield return Event("burst", burst, null);
        }

        if (script.TemperatureStuckFrom is { } stuck)
        {
            yield return Event("temperature stuck", stuck, null);
        }

        if (script.Gap is { } gap)
        {
            yield return Event("gap", gap.From, gap.To);
        }

        if (script.NeverReleasedFrom is { } never)
        {
            yield return Event("never released any more", never, null);
        }
    }

    private static JsonObject Event(string kind, DateTimeOffset from, DateTimeOffset? to)
    {
        var node = new JsonObject { ["kind"] = kind, ["from"] = RegisterFile.Instant(from) };
        if (to is { } end)
        {
            node["to"] = RegisterFile.Instant(end);
        }

        return node;
    }
}
