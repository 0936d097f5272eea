namespace DriftWatch.SamplePlant;

/// <summary>What goes wrong between a sound sensor and the logged row; nothing by default, and then the rows pass untouched.</summary>
public static class LoggerFaults
{
    /// <summary>Rows as they come out, in the order of the true time.</summary>
    public static IEnumerable<LoggedReading> Of(VesselScript script, ulong seed, IEnumerable<LoggedReading> rows)
    {
        var noise = new Dice(seed, script.Id, "extra noise");
        var lost = new Dice(seed, script.Id, "lost rows");
        var fluidBefore = new Queue<LoggedReading>();
        foreach (LoggedReading row in rows)
        {
            double pressure = row.GasPressureBar;
            if (script.PressureDriftBarPerMonth != 0)
            {
                pressure += script.PressureDriftBarPerMonth * ((row.Time - script.Start) / GasSide.Month);
            }

            if (script.PressureSwap is { } swap && row.Time >= swap.At)
            {
                pressure += swap.StepBar;
            }

            if (script.ExtraPressureNoiseBar > 0)
            {
                pressure += script.ExtraPressureNoiseBar * noise.Normal();
            }

            LoggedReading shown = row with { GasPressureBar = pressure * script.PressureUnitFactor };
            if (script.FluidClockLateHours > 0)
            {
                // The fluid side is logged with an instant that lies behind: at any instant the row holds what was so much later.
                fluidBefore.Enqueue(shown);
                LoggedReading first = fluidBefore.Peek();
                if ((row.Time - first.Time).TotalHours < script.FluidClockLateHours)
                {
                    continue;
                }

                shown = fluidBefore.Dequeue() with { FluidPressureBarGauge = row.FluidPressureBarGauge, Released = row.Released };
            }

            if (script.LostShare > 0 && lost.Uniform() < script.LostShare)
            {
                continue;
            }

            yield return script.ClockSetBack is { } back && row.Time >= back.At ? shown with { Time = shown.Time - back.By } : shown;
        }
    }
}
