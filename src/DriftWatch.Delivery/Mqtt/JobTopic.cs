using System.Text;
using DriftWatch.Delivery.Documents;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Jobs;

namespace DriftWatch.Delivery.Mqtt;

/// <summary>Topic of a job: <c>prefix/jobs/vessel/cause</c>. A vessel has one job of a cause, so the retained message is its state now.</summary>
internal static class JobTopic
{
    public static string Of(string prefix, Job job) => $"{prefix}/jobs/{Level(job.VesselId)}/{DocumentJson.NameOf(job.Cause)}";

    /// <summary>The topic of an alarm.</summary>
    public static string Of(string prefix, Alarm alarm) =>
        $"{prefix}/alarms/{Level(alarm.VesselId)}/{DocumentJson.NameOf(alarm.Kind)}";

    /// <summary>One topic level (MQTT 5 section 4.7): without separator, wildcards and NUL.</summary>
    private static string Level(string text)
    {
        StringBuilder level = new(text);
        foreach (char special in "/+#\0")
        {
            _ = level.Replace(special, '_');
        }

        return level.ToString();
    }
}
