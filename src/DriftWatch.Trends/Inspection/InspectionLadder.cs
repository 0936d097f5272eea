using DriftWatch.Trends.Vessels;

namespace DriftWatch.Trends.Inspection;

/// <summary>
/// The interval at which a precharge is checked (common practice): a week after charging; without a loss again after four
/// months; without a loss every six months. A loss starts the ladder over. A check before its time says nothing yet about a
/// slow loss, so it does not climb; one that finds a loss counts at any time. A reading by hand is held against what the charge
/// left, or where that is not on record against the first one by hand since; a transducer's against its own first one since: two
/// instruments differ without a loss. A transducer that sees the same loss again does not put off the check that is due for it.
/// </summary>
public static class InspectionLadder
{
    /// <summary>When the first check after a charge or a loss is due.</summary>
    public static readonly TimeSpan FirstCheck = TimeSpan.FromDays(7);
    private const int MonthsOnSecondRung = 4;
    private const int MonthsFromThirdRung = 6;

    /// <summary>The next inspection of a vessel.</summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="charged">When it was last charged, with the values left where they are on record; else what was seen first.</param>
    /// <param name="checks">Checks since, in order of time; those before the charge do not count.</param>
    /// <returns>The rung and the due date.</returns>
    /// <exception cref="ArgumentException">The checks are not in order of time.</exception>
    public static NextInspection After(VesselSpecification vessel, PrechargeCheck charged, IReadOnlyList<PrechargeCheck> checks)
    {
        var next = new NextInspection(0, charged.At + FirstCheck);
        DateTimeOffset last = DateTimeOffset.MinValue;
        PrechargeCheck first = charged;
        PrechargeCheck? firstByHand = IsByHand(charged) ? charged : null;
        foreach (PrechargeCheck check in checks)
        {
            if (check.At < last)
            {
                throw new ArgumentException($"The check of {check.At:O} comes after one of {last:O}: give them in order of time.", nameof(checks));
            }

            last = check.At;
            if (check.At <= charged.At)
            {
                continue;
            }

            if (check.Transducer > 0 && check.Transducer != first.Transducer)
            {
                first = check;
            }

            if (IsByHand(check))
            {
                firstByHand ??= check;
            }

            if (check.FindsLoss(vessel, check.Transducer > 0 ? first : firstByHand ?? check))
            {
                next = check.Transducer > 0 && next.AfterLoss ? next : new NextInspection(0, check.At + FirstCheck, AfterLoss: true);
            }
            else if (check.At >= next.Due)
            {
                int rung = next.Rung + 1;
                next = new NextInspection(rung, check.At.AddMonths(rung == 1 ? MonthsOnSecondRung : MonthsFromThirdRung));
            }
        }

        return next;
    }

    private static bool IsByHand(PrechargeCheck seen) => seen is { Transducer: 0, Pressure: not null, Temperature: not null };
}
