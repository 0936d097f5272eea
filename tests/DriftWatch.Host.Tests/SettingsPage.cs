using System.Reflection;
using System.Text;
using System.Text.Json.Serialization.Metadata;
using System.Text.RegularExpressions;
using System.Xml.Linq;
using DriftWatch.Delivery.Security;
using DriftWatch.Host.Settings;

namespace DriftWatch.Host.Tests;

/// <summary>The page docs/settings.md, made from the settings records and what their code says of each member.</summary>
internal static partial class SettingsPage
{
    private const string Head = """
        # Settings
        One file in JSON, `driftwatch.json` by default (`--settings FILE` names another). `example-settings` prints one to start
        from. Comments and trailing commas are allowed, unknown members are refused. Paths are relative to the file; durations are
        written `d.hh:mm:ss`.

        The file is checked as a whole before anything starts, with every file and secret it names: `settings check` does the same and
        starts nothing, and tells every fault with its field: what does not fit is left out, and the rest is checked all the same. A text
        that is no JSON is told with its line, alone. `settings show` prints the settings as they count. Commands that only look into the
        store or write to it need none of those files and secrets.

        **Environment variables stand above the file.** `DRIFTWATCH__` and the way to a setting, its steps joined by two
        underscores: `DRIFTWATCH__broker__host=broker.example`, `DRIFTWATCH__queue__webhooks__0__url=...`. Text is given plainly,
        all else as JSON (`true`, `8086`, `null`). Letters may be in any case.

        **No secret stands in the file.** A secret is named by where it is: an environment variable, or a file whose first line it
        is. So the file can be kept with the plant's other papers, and what is printed or logged holds none. An address with a user name or
        a password in it is refused; of what follows `?` or `#` in one, `settings show` prints `***`.

        **While the service runs** it takes in a changed register (by hand or on the pages), a changed `log.level`, new secrets of
        brokers and queues (each is read when it is needed) and a renewed certificate of the pages. All else counts from the next
        start, the token of InfluxDB and the secret of the OpenID Connect client too: a broker or a queue that changes under way would
        leave messages half told. When the file changes, the log says which of its changes wait (event 3060).

        This page is made from the program's own settings; a test keeps it so.

        """;

    public static string Write()
    {
        StringBuilder page = new(Head.ReplaceLineEndings("\n"));
        page.Append("\n## The service\n").Append(TableHead);
        Rows(page, SettingsJson.Shape, "", ours: true);
        page.Append("\n## A secret\n").Append(TableHead);
        Rows(page, SettingsJson.Shape.Options.GetTypeInfo(typeof(SecretSource)), "SECRET.", ours: false);
        page.Append("\n## TLS towards a queue\n").Append(TableHead);
        Rows(page, SettingsJson.Shape.Options.GetTypeInfo(typeof(TlsSettings)), "TLS.", ours: false);
        return page.ToString();
    }

    private const string TableHead = "| setting | it says |\n| --- | --- |\n";

    private static void Rows(StringBuilder page, JsonTypeInfo shape, string at, bool ours)
    {
        foreach (JsonPropertyInfo property in shape.Properties)
        {
            string path = at + property.Name;
            JsonTypeInfo member = shape.Options.GetTypeInfo(Nullable.GetUnderlyingType(property.PropertyType) ?? property.PropertyType);
            if (member.Kind == JsonTypeInfoKind.Enumerable && shape.Options.GetTypeInfo(member.ElementType!) is { Kind: JsonTypeInfoKind.Object } element)
            {
                (path, member) = (path + "[]", element);
            }

            string text = Said((PropertyInfo)property.AttributeProvider!);
            text += member.Type == typeof(SecretSource) ? " [A secret](#a-secret)." : member.Type == typeof(TlsSettings) ? " [TLS](#tls-towards-a-queue)." : "";
            page.Append(System.Globalization.CultureInfo.InvariantCulture, $"| `{path}` | {(property.IsRequired ? "Required. " : "")}{text} |\n");
            if (ours && member.Kind == JsonTypeInfoKind.Object && member.Type != typeof(SecretSource) && member.Type != typeof(TlsSettings))
            {
                Rows(page, member, path + ".", ours);
            }
        }
    }

    /// <summary>The summary of a member in the documentation file beside its assembly.</summary>
    private static string Said(PropertyInfo member)
    {
        XDocument file = XDocument.Load(Path.ChangeExtension(member.DeclaringType!.Assembly.Location, ".xml"));
        XElement said = file.Descendants("member").Single(one => one.Attribute("name")!.Value == $"P:{member.DeclaringType!.FullName}.{member.Name}");
        if (said.Element("inheritdoc")?.Attribute("cref")?.Value is { } other)
        {
            string type = other[2..other.LastIndexOf('.')];
            return Said(member.DeclaringType.Assembly.GetReferencedAssemblies().Select(Assembly.Load).Append(member.DeclaringType.Assembly)
                .Select(assembly => assembly.GetType(type)).First(found => found is not null)!.GetProperty(other[(other.LastIndexOf('.') + 1)..])!);
        }

        string text = string.Concat(said.Element("summary")!.Nodes().Select(node => node switch
        {
            XElement { Name.LocalName: "c" } code => $"`{code.Value}`",
            XElement { Name.LocalName: "see" } see => $"`{Camel(see.Attribute("cref")!.Value.Split('.')[^1])}`",
            _ => node.ToString(),
        }));
        return Blanks().Replace(text.Replace("&lt;", "<", StringComparison.Ordinal).Replace("&gt;", ">", StringComparison.Ordinal), " ").Trim();
    }

    private static string Camel(string name) => char.ToLowerInvariant(name[0]) + name[1..];

    [GeneratedRegex(@"\s+")]
    private static partial Regex Blanks();
}
