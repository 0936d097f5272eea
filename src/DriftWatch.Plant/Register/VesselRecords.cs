namespace DriftWatch.Plant.Register;

/// <summary>What is on record of a vessel up to a moment.</summary>
public static class VesselRecords
{
    /// <summary>The last recorded charge or bleed not after an instant; null for none.</summary>
    public static DateTimeOffset? LastCharge(Vessel vessel, DateTimeOffset asOf)
    {
        for (int i = vessel.RecordedCharges.Count - 1; i >= 0; i--)
        {
            if (vessel.RecordedCharges[i] <= asOf)
            {
                return vessel.RecordedCharges[i];
            }
        }

        return null;
    }

    /// <summary>The last recorded check not after an instant; null for none.</summary>
    public static RecordedCheck? LastCheck(Vessel vessel, DateTimeOffset asOf)
    {
        for (int i = vessel.RecordedChecks.Count - 1; i >= 0; i--)
        {
            if (vessel.RecordedChecks[i].At <= asOf)
            {
                return vessel.RecordedChecks[i];
            }
        }

        return null;
    }

    /// <summary>Instants of charges and checks, ascending.</summary>
    public static IReadOnlyList<DateTimeOffset> Instants(Vessel vessel) =>
        [.. vessel.RecordedCharges.Concat(vessel.RecordedChecks.Select(check => check.At)).Distinct().Order()];
}
