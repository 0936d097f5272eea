using System.Text.Json;
using DriftWatch.Plant.Register;

namespace DriftWatch.Plant.Tests.Register;

public class JsonPointerTests
{
    /// <summary>The document and the pointers of RFC 6901 section 5.</summary>
    private const string RfcDocument = """
        { "foo": ["bar", "baz"], "": 0, "a/b": 1, "c%d": 2, "e^f": 3, "g|h": 4, "i\\j": 5, "k\"l": 6, " ": 7, "m~n": 8 }
        """;

    [Theory]
    [InlineData("", null)]
    [InlineData("/foo", """["bar", "baz"]""")]
    [InlineData("/foo/0", "\"bar\"")]
    [InlineData("/", "0")]
    [InlineData("/a~1b", "1")]
    [InlineData("/c%d", "2")]
    [InlineData("/e^f", "3")]
    [InlineData("/g|h", "4")]
    [InlineData("/i\\j", "5")]
    [InlineData("/k\"l", "6")]
    [InlineData("/ ", "7")]
    [InlineData("/m~0n", "8")]
    public void The_examples_of_the_rfc_point_where_it_says(string pointer, string? expected)
    {
        using JsonDocument document = JsonDocument.Parse(RfcDocument);
        Assert.Equal(expected ?? RfcDocument.Trim(), Find(pointer, document.RootElement)?.GetRawText());
    }

    /// <summary>RFC 6901 section 4: '~01' is '~1'; no leading zeros; '-' is past the end; a step into a number leads nowhere.</summary>
    [Theory]
    [InlineData("/~01", "9")]
    [InlineData("/list/1", "20")]
    [InlineData("/list/01", null)]
    [InlineData("/list/2", null)]
    [InlineData("/list/-", null)]
    [InlineData("/list/-1", null)]
    [InlineData("/list/99999999999", null)]
    [InlineData("/list/0/a", null)]
    [InlineData("/missing", null)]
    [InlineData("/0", "30")]
    public void Steps_lead_by_the_rules_of_section_4(string pointer, string? expected)
    {
        using JsonDocument document = JsonDocument.Parse("""{ "~1": 9, "list": [10, 20], "0": 30 }""");
        Assert.Equal(expected, Find(pointer, document.RootElement)?.GetRawText());
    }

    [Theory]
    [InlineData("foo")]
    [InlineData("/a~")]
    [InlineData("/a~2b")]
    [InlineData("#/foo")]
    public void What_is_no_pointer_is_refused(string text) => Assert.False(JsonPointer.TryParse(text, out _));

    [Theory]
    [InlineData("plain")]
    [InlineData("a/b~c")]
    [InlineData("~1")]
    public void A_member_of_any_name_can_be_pointed_at(string name)
    {
        using JsonDocument document = JsonDocument.Parse($$"""{ "{{name}}": 1 }""");
        Assert.Equal(1, JsonPointer.ToMember(name).Find(document.RootElement)?.GetInt32());
        Assert.True(JsonPointer.TryParse(JsonPointer.ToMember(name).Text, out JsonPointer? again));
        Assert.Equal(1, again.Find(document.RootElement)?.GetInt32());
    }

    private static JsonElement? Find(string pointer, JsonElement document)
    {
        Assert.True(JsonPointer.TryParse(pointer, out JsonPointer? parsed));
        return parsed.Find(document);
    }
}
