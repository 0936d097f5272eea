using System.Text.Json.Nodes;
using DriftWatch.Plant.Register;

namespace DriftWatch.Plant.Tests.Register;

/// <summary>Changing one vessel leaves the rest of the file as somebody wrote it.</summary>
public sealed class RegisterTextTests
{
    private static readonly string Commented = RegisterDocuments.Good
        .Replace("\"plant\":", "// The works as of spring, überall.\n  \"plant\":", StringComparison.Ordinal)
        .Replace("\"id\": \"PU1-A2\"", "/* the small one */ \"id\": \"PU1-A2\"", StringComparison.Ordinal);

    [Fact]
    public void A_vessel_is_put_in_its_place_and_all_else_stays_to_the_letter()
    {
        JsonObject entry = RegisterText.EntryOf(Commented, "PU1-A1")!;
        entry["precharge"]!["lowerLimitBarGauge"] = 92.5;
        string after = RegisterText.Put(Commented, "PU1-A1", entry);

        Assert.Equal(92.5, RegisterReader.Read(after).Register!.Find("PU1-A1")!.Specification.LowerLimit.Bar, 12);
        Assert.Contains("// The works as of spring, überall.", after, StringComparison.Ordinal);
        Assert.EndsWith(Commented[Commented.IndexOf("/* the small one */", StringComparison.Ordinal)..], after, StringComparison.Ordinal);
        Assert.Equal([new RegisterFieldChange("PU1-A1", "precharge.lowerLimitBarGauge", "90", "92.5")], RegisterText.Changes(Commented, after));
    }

    [Fact]
    public void A_new_vessel_comes_last_and_is_told_field_by_field()
    {
        JsonObject entry = RegisterText.EntryOf(Commented, "PU1-A2")!;
        entry["id"] = "PU1-A3";
        entry["sensors"]!["gasPressure"]!["topic"] = "works/pu1/a3/p";
        entry["sensors"]!["gasTemperature"]!["topic"] = "works/pu1/a3/t";
        string after = RegisterText.Put(Commented, "PU1-A3", entry);
        Assert.Equal(["PU1-A1", "PU1-A2", "PU1-A3"], RegisterReader.Read(after).Register!.Vessels.Select(vessel => vessel.Id));
        IReadOnlyList<RegisterFieldChange> changes = RegisterText.Changes(Commented, after);
        Assert.All(changes, change => Assert.Equal(("PU1-A3", (string?)null), (change.VesselId, change.Before)));
        Assert.Contains(changes, change => change is { Field: "sensors.gasPressure.topic", After: "\"works/pu1/a3/p\"" });
    }

    [Theory]
    [InlineData("PU1-A1", "PU1-A2")]
    [InlineData("PU1-A2", "PU1-A1")]
    public void A_vessel_is_taken_out_with_its_comma(string gone, string left)
    {
        string after = RegisterText.Remove(Commented, gone);
        Assert.Equal([left], RegisterReader.Read(after).Register!.Vessels.Select(vessel => vessel.Id));
        Assert.All(RegisterText.Changes(Commented, after), change => Assert.Equal((gone, (string?)null), (change.VesselId, change.After)));
    }

    [Fact]
    public void The_last_vessel_taken_out_leaves_a_register_that_is_refused() =>
        Assert.Null(RegisterReader.Read(RegisterText.Remove(RegisterText.Remove(Commented, "PU1-A1"), "PU1-A2")).Register);

    [Fact]
    public void A_vessel_that_is_not_there_is_not_taken_out() => Assert.Equal(Commented, RegisterText.Remove(Commented, "PU9"));

    [Fact]
    public void What_stands_beside_the_vessels_is_told_without_a_vessel()
    {
        string after = RegisterDocuments.With("calendar", """{ "leadTimeDays": 2 }""");
        Assert.Equal([new RegisterFieldChange("", "calendar.leadTimeDays", null, "2")], RegisterText.Changes(RegisterDocuments.Good, after));
    }

    [Fact]
    public void Spaces_comments_and_the_order_of_fields_are_no_change() =>
        Assert.Empty(RegisterText.Changes(RegisterDocuments.Good, JsonNode.Parse(RegisterDocuments.Good)!.ToJsonString()));
}
