using System.Globalization;
using System.IO.Compression;
using System.Text;

namespace DriftWatch.SamplePlant;

/// <summary>The logger's CSV of one vessel, rows in the order in which the logger delivered them.</summary>
public static class LoggerFile
{
    private const int ChunkHours = 6;

    /// <summary>
    /// Readings in the order of delivery. A logger that buffers delivers its days in chunks of six hours, shuffled, and sends
    /// some of them twice; some buffers arrive after the following one.
    /// </summary>
    public static IEnumerable<LoggedReading> InOrderOfDelivery(VesselScript script, ulong seed, IEnumerable<LoggedReading> readings)
    {
        if (script.Logging.BufferDays == 0)
        {
            return readings;
        }

        var random = new Dice(seed, script.Id, "delivery");
        List<List<LoggedReading>> buffers = [.. readings
            .GroupBy(reading => (int)((reading.Time - script.Start).TotalDays / script.Logging.BufferDays))
            .Select(buffer => Shuffled(buffer, script.Start, random))];
        for (int i = 0; i + 1 < buffers.Count; i++)
        {
            if (random.Uniform() < 0.1)
            {
                (buffers[i], buffers[i + 1]) = (buffers[i + 1], buffers[i]);
            }
        }

        return buffers.SelectMany(buffer => buffer);
    }

    /// <summary>The CSV text: UTC times, '.' decimals, '\n' line ends whatever the machine's culture.</summary>
    public static string Text(VesselScript script, IEnumerable<LoggedReading> readings)
    {
        var text = new StringBuilder("time,gas_pressure_bar,gas_temperature_C");
        text.Append(script.FluidSensor is null ? "" : ",fluid_pressure_bar").Append(script.HasReleasedContact ? ",released\n" : "\n");
        string pressureFormat = script.PressureSensor.Resolution < 0.1 ? "0.00" : "0.0";
        foreach (LoggedReading reading in readings)
        {
            text.Append(CultureInfo.InvariantCulture, $"{reading.Time.UtcDateTime:yyyy-MM-ddTHH:mm:ss}Z,");
            text.Append(reading.GasPressureBar.ToString(pressureFormat, CultureInfo.InvariantCulture)).Append(',');
            text.Append(reading.GasTemperatureC.ToString("0.0", CultureInfo.InvariantCulture));
            if (reading.FluidPressureBarGauge is { } fluid)
            {
                text.Append(',').Append(fluid.ToString("0.0", CultureInfo.InvariantCulture));
            }

            if (reading.Released is { } released)
            {
                text.Append(released ? ",1" : ",0");
            }

            text.Append('\n');
        }

        return text.ToString();
    }

    /// <summary>The whole file of a vessel as text.</summary>
    public static string Text(VesselScript script, ulong seed)
    {
        IEnumerable<LoggedReading> readings = VesselRun.Readings(script, seed, script.Start, script.End);
        return Text(script, InOrderOfDelivery(script, seed, readings));
    }

    /// <summary>Writes text compressed by gzip, UTF-8 without mark.</summary>
    public static void WriteCompressed(string path, string text)
    {
        using FileStream file = File.Create(path);
        using var gzip = new GZipStream(file, CompressionLevel.SmallestSize);
        gzip.Write(Encoding.UTF8.GetBytes(text));
    }

    private static List<LoggedReading> Shuffled(IEnumerable<LoggedReading> buffer, DateTimeOffset start, Dice random)
    {
        List<LoggedReading[]> chunks = [.. buffer
            .GroupBy(reading => (int)((reading.Time - start).TotalHours / ChunkHours))
            .Select(chunk => chunk.ToArray())];
        for (int i = chunks.Count - 1; i > 0; i--)
        {
            int other = random.Whole(0, i);
            (chunks[i], chunks[other]) = (chunks[other], chunks[i]);
        }

        if (random.Uniform() < 0.3)
        {
            chunks.Add(chunks[0]);
        }

        return [.. chunks.SelectMany(chunk => chunk)];
    }
}
