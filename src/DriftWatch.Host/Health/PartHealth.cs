namespace DriftWatch.Host.Health;

/// <summary>How one part of the service stands.</summary>
/// <param name="Part">Its name, one of <see cref="ServicePart"/>.</param>
/// <param name="State">The worst of its complaints; good without any.</param>
/// <param name="Since">Since when it is in this state, UTC.</param>
/// <param name="Complaints">What is wrong, the worst first.</param>
public sealed record PartHealth(string Part, HealthState State, DateTimeOffset Since, IReadOnlyList<Complaint> Complaints)
{
    /// <summary>With a complaint that is new, or in the place of the one on the same matter, which keeps its begin.</summary>
    public PartHealth With(Complaint complaint, DateTimeOffset now)
    {
        Complaint? before = Complaints.FirstOrDefault(known => known.Matter == complaint.Matter);
        return Of([.. Complaints.Where(known => known.Matter != complaint.Matter), complaint with { Since = before?.Since ?? now }], now);
    }

    /// <summary>Without the complaint on a matter.</summary>
    public PartHealth Without(string matter, DateTimeOffset now) => Of([.. Complaints.Where(known => known.Matter != matter)], now);

    private PartHealth Of(IReadOnlyList<Complaint> complaints, DateTimeOffset now)
    {
        HealthState state = complaints.Count > 0 ? complaints.Max(complaint => complaint.State) : HealthState.Good;
        return new PartHealth(
            Part,
            state,
            state == State ? Since : now,
            [.. complaints.OrderByDescending(complaint => complaint.State).ThenBy(complaint => complaint.Since).ThenBy(complaint => complaint.Matter, StringComparer.Ordinal)]);
    }
}
