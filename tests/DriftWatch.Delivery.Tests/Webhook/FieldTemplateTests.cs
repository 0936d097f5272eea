using System.Text.Json.Nodes;
using DriftWatch.Delivery.Documents;
using DriftWatch.Delivery.Tests.Support;
using DriftWatch.Delivery.Webhook;

namespace DriftWatch.Delivery.Tests.Webhook;

public sealed class FieldTemplateTests
{
    private static readonly JsonNode Document = JsonNode.Parse(JobDocument.From(Given.Opened()).ToUtf8Json())!;

    [Fact]
    public void Values_keep_their_kind_alone_and_are_written_out_inside_text()
    {
        FieldTemplate template = FieldTemplate.Parse(
            """
            {
              "title": "{{/job/vessel/id}}: {{/job/reason}}",
              "gas": { "kg": "{{/job/nitrogenKg}}", "targets": "{{/job/chargingTargets}}" },
              "notes": ["{{/job/steps}}", "as text: {{/job/steps}}"],
              "closed": "{{/job/closedBecause}}", "priority": 2, "team": "hydraulics",
              "cautions": "{{/job/cautions}}"
            }
            """);
        JsonNode filled = template.Fill(Document);
        Assert.Equal("P3-ACC-2: " + Given.Job().Reason, (string?)filled["title"]);
        Assert.Equal(0.42, (double?)filled["gas"]!["kg"]);
        Assert.Equal(80.1, (double?)filled["gas"]!["targets"]![0]!["targetBarGauge"]);
        Assert.Equal(Given.Job().Steps, filled["notes"]![0]!.AsArray().Select(step => (string?)step));
        Assert.Equal("as text: " + string.Join('\n', Given.Job().Steps), (string?)filled["notes"]![1]);
        Assert.Null(filled["closed"]);
        Assert.Equal(2, (int?)filled["priority"]);
        Assert.Equal("hydraulics", (string?)filled["team"]);
        Assert.Equal(Given.Job().Cautions, filled["cautions"]!.AsArray().Select(line => (string?)line));
    }

    [Theory]
    [InlineData("""{ "a": "{{/job/cautions}}", "b": "{{/job/colour}}" }""", "/job/colour")]
    [InlineData("""{ "a": "{{/job/reason}}" }""", "cautions")]
    [InlineData("""{ "a": """, "not JSON")]
    [InlineData("null", "cautions")]
    public void A_template_that_cannot_serve_is_refused_with_the_reason(string template, string reason) =>
        Assert.Contains(reason, Assert.Throws<FormatException>(() => FieldTemplate.Parse(template)).Message, StringComparison.Ordinal);
}
