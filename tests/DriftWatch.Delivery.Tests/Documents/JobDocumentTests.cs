using System.Text.Json;
using System.Text.Json.Nodes;
using DriftWatch.Delivery.Documents;
using DriftWatch.Delivery.Tests.Support;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Safety;
using Json.Schema;

namespace DriftWatch.Delivery.Tests.Documents;

public sealed class JobDocumentTests
{
    private static readonly JsonSchema Schema = JsonSchema.FromText(File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "job.schema.json")));

    public static TheoryData<JobCause> Causes => [.. Enum.GetValues<JobCause>()];

    [Theory]
    [MemberData(nameof(Causes))]
    public void Every_document_complies_with_the_schema(JobCause cause)
    {
        Job job = Given.Job() with { Cause = cause };
        foreach (JobNotice notice in new[] { Given.Opened(job), Given.Renewed(job), Given.Closed(job), Given.Opened(job with { NitrogenKg = null, NitrogenStandardLitres = null, ChargingTargets = [], Evidence = [] }) })
        {
            EvaluationResults results = Evaluate(Node(notice));
            Assert.True(results.IsValid, JsonSerializer.Serialize(results.Details?.Where(detail => detail.Errors is not null).Select(detail => detail.Errors)));
        }
    }

    [Theory]
    [InlineData("remove", "/id")]
    [InlineData("remove", "/job/cautions")]
    [InlineData("empty", "/job/cautions")]
    [InlineData("remove", "/job/chargingTargets/0/targetBarGauge")]
    [InlineData("text", "/job/nitrogenKg")]
    [InlineData("text", "/job/priority")]
    [InlineData("text", "/job/revision")]
    [InlineData("text", "/job/latestDue")]
    [InlineData("text", "/job/renewedBecause")]
    [InlineData("remove", "/job/isolation")]
    [InlineData("remove", "/job/filling/words")]
    [InlineData("text", "/job/cause")]
    [InlineData("text", "/job/state")]
    [InlineData("text", "/time")]
    [InlineData("text", "/job/due")]
    [InlineData("text", "/schemaVersion")]
    public void The_schema_refuses_a_document_that_is_not_whole(string change, string place)
    {
        JsonNode document = Node(Given.Opened());
        string[] path = place[1..].Split('/');
        JsonNode parent = path[..^1].Aggregate(document, (node, step) => node is JsonArray array ? array[int.Parse(step, System.Globalization.CultureInfo.InvariantCulture)]! : node[step]!);
        switch (change)
        {
            case "remove":
                Assert.True(parent.AsObject().Remove(path[^1]));
                break;
            case "empty":
                parent[path[^1]] = new JsonArray();
                break;
            default:
                parent[path[^1]] = "something else";
                break;
        }

        Assert.False(Evaluate(document).IsValid);
    }

    [Fact]
    public void An_opened_job_reads_so()
    {
        JsonNode document = Node(Given.Opened());
        Assert.Equal("2.1", (string?)document["schemaVersion"]);
        Assert.Equal("P3-ACC-2/below/2025-03-01/open/1", (string?)document["id"]);
        Assert.Equal("driftwatch.job.opened", (string?)document["type"]);
        Assert.Equal("/driftwatch/vessels/P3-ACC-2", (string?)document["source"]);
        Assert.Equal("P3-ACC-2", (string?)document["subject"]);
        Assert.Equal("2025-03-01T06:00:00.0000001Z", (string?)document["time"]);
        JsonNode job = document["job"]!;
        Assert.Equal("open", (string?)job["state"]);
        Assert.Null(job["closedBecause"]);
        Assert.Equal("belowLowerLimit", (string?)job["cause"]);
        Assert.Equal("Hall 2, press 3", (string?)job["vessel"]!["place"]);
        Assert.Equal(80.1, (double?)job["chargingTargets"]![0]!["targetBarGauge"]);
        Assert.Equal(0.42, (double?)job["nitrogenKg"]);
    }

    [Fact]
    public void A_closed_job_says_why()
    {
        JsonNode document = Node(Given.Closed());
        Assert.Equal("driftwatch.job.closed", (string?)document["type"]);
        Assert.Equal("P3-ACC-2/below/2025-03-01/closed/2", (string?)document["id"]);
        Assert.Equal("2025-03-03T06:00:00.0000001Z", (string?)document["time"]);
        Assert.Equal("Charged to 90 bar.", (string?)document["job"]!["closedBecause"]);
    }

    [Fact]
    public void A_renewed_job_says_why_and_counts_on()
    {
        JsonNode document = Node(Given.Renewed());
        Assert.Equal("driftwatch.job.updated", (string?)document["type"]);
        Assert.Equal(2, (int?)document["job"]!["revision"]);
        Assert.Equal("The priority has risen.", (string?)document["job"]!["renewedBecause"]);
        Assert.Equal("high", (string?)document["job"]!["priority"]);
        Assert.Equal(1, (int?)document["job"]!["filling"]!["bottles"]);
        Assert.Equal("charged", (string?)Node(Given.Closed())["job"]!["closedAs"]);
    }

    [Fact]
    public void No_document_leaves_without_the_cautions()
    {
        JsonNode document = Node(Given.Opened(Given.Job() with { Cautions = [] }));
        Assert.Equal(SafetyLines.All, document["job"]!["cautions"]!.AsArray().Select(line => (string?)line));
    }

    private static JsonNode Node(JobNotice notice) => JsonNode.Parse(JobDocument.From(notice).ToUtf8Json())!;

    private static EvaluationResults Evaluate(JsonNode document) => Schema.Evaluate(
        JsonSerializer.SerializeToElement(document),
        new EvaluationOptions { OutputFormat = OutputFormat.List, RequireFormatValidation = true });
}
