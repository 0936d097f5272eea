using YamlDotNet.RepresentationModel;

namespace DriftWatch.Delivery.Tests.Docs;

/// <summary>The published description is well-formed, and all that it refers to is there.</summary>
public sealed class AsyncApiTests
{
    [Fact]
    public void All_references_lead_somewhere_and_all_schemas_are_among_them()
    {
        YamlStream yaml = [];
        yaml.Load(File.OpenText(Path.Combine(AppContext.BaseDirectory, "asyncapi.yaml")));
        YamlNode root = yaml.Documents.Single().RootNode;
        Assert.Equal("3.0.0", (string?)root["asyncapi"]);
        string[] references = [.. root.AllNodes.OfType<YamlMappingNode>()
            .Where(node => node.Children.ContainsKey("$ref")).Select(node => (string)node["$ref"]!)];
        Assert.NotEmpty(references);
        foreach (string reference in references)
        {
            if (reference.StartsWith("#/", StringComparison.Ordinal))
            {
                _ = reference[2..].Split('/').Aggregate(root, (node, step) => node[step]);
            }
            else
            {
                Assert.True(File.Exists(Path.Combine(AppContext.BaseDirectory, Path.GetFileName(reference))), reference);
            }
        }

        Assert.Subset(references.ToHashSet(), new HashSet<string> { "./schema/job.schema.json", "./schema/answer.schema.json", "./schema/alarm.schema.json" });
    }
}
