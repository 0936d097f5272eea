using System.Text;
using DriftWatch.Delivery.Alarms;
using DriftWatch.Delivery.Documents;
using DriftWatch.Delivery.Tests.Support;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Priorities;
using DriftWatch.Plant.Safety;

namespace DriftWatch.Delivery.Tests.Documents;

/// <summary>The documents byte for byte: receivers compare and sign them, so their order and their signs are part of the interface.</summary>
public sealed class DocumentBytesTests
{
    [Fact]
    public void An_alarm()
    {
        Alarm alarm = new(
            "V/1", AlarmKind.BelowLowerLimit, AlarmStatus.Normal with { State = AlarmState.Shelved, ConditionOn = true }, Priority.Medium, Given.Instant,
            "81.2 bar at 20 °C, \"low\" & below <85 bar>.", "H. Example", "stop", Given.Instant.AddDays(1));
        string expected =
            """
            {
              "schemaVersion": "1.0",
              "id": "V/1/BelowLowerLimit/3",
              "type": "driftwatch.alarm.shelved",
              "source": "/driftwatch/vessels/V%2F1",
              "subject": "V/1",
              "time": "2025-03-01T07:00:00.0000001Z",
              "alarm": {
                "revision": 3,
                "vesselId": "V/1",
                "place": "Bay 1",
                "kind": "belowLowerLimit",
                "state": "shelved",
                "conditionStands": true,
                "priority": "medium",
                "raised": "2025-03-01T06:00:00.0000001Z",
                "evidence": "81.2 bar at 20 °C, \"low\" & below <85 bar>.",
                "by": "H. Example",
                "because": "stop",
                "shelvedUntil": "2025-03-02T06:00:00.0000001Z",
                "cautions": [
                  CAUTIONS
                ]
              }
            }
            """;
        Assert.Equal(
            Whole(expected, "      "),
            Encoding.UTF8.GetString(AlarmDocument.From(new AlarmNotice(alarm, "Bay 1", 3, Given.Instant.AddHours(1).ToOffset(TimeSpan.FromHours(2)), "H. Example", "stop")).ToUtf8Json()));
    }

    [Fact]
    public void A_job()
    {
        string expected =
            """
            {
              "schemaVersion": "2.1",
              "id": "P3-ACC-2/below/2025-03-01/closed/2",
              "type": "driftwatch.job.closed",
              "source": "/driftwatch/vessels/P3-ACC-2",
              "subject": "P3-ACC-2",
              "time": "2025-03-03T06:00:00.0000001Z",
              "job": {
                "key": "P3-ACC-2/below/2025-03-01",
                "revision": 2,
                "state": "closed",
                "closedBecause": "Charged to 90 bar.",
                "closedAs": "charged",
                "renewedBecause": null,
                "taken": null,
                "reportedDone": null,
                "priority": "low",
                "vessel": {
                  "id": "P3-ACC-2",
                  "description": "Pump accumulator",
                  "place": "Hall 2, press 3"
                },
                "cause": "belowLowerLimit",
                "reason": "The precharge is 84.2 bar at 20 °C, below its lower limit of 85.0 bar.",
                "raised": "2025-03-01T06:00:00.0000001Z",
                "due": "2025-03-08T06:00:00.0000001Z",
                "dueReason": "Below the limit already.",
                "latestDue": "2025-03-08T06:00:00.0000001Z",
                "plannedStop": null,
                "chartId": "P3-ACC-2",
                "lostUsableVolumePercent": null,
                "lostUsableVolumeAtLowerLimitPercent": null,
                "lowerLimitReached": null,
                "recommendedRecharge": null,
                "isolation": "ISOLATION",
                "evidence": [],
                "steps": [],
                "chargingTargets": [],
                "filling": null,
                "nitrogenKg": 0.42,
                "nitrogenStandardLitres": 336,
                "parts": [
                  "Charging unit"
                ],
                "recordAfter": [],
                "cautions": [
                  CAUTIONS
                ]
              }
            }
            """;
        byte[] written = JobDocument.From(Given.Closed(Given.Job() with { Evidence = [], Steps = [], ChargingTargets = [], Filling = null, RecordAfter = [] })).ToUtf8Json();
        Assert.Equal(Whole(expected, "      "), Encoding.UTF8.GetString(written));
    }

    private static string Whole(string expected, string indent) => expected.ReplaceLineEndings("\n")
        .Replace("ISOLATION", SafetyLines.Isolation, StringComparison.Ordinal)
        .Replace("CAUTIONS", string.Join(",\n" + indent, SafetyLines.All.Select(line => $"\"{line}\"")), StringComparison.Ordinal);
}
