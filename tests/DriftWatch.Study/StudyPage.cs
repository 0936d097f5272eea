using System.Text;

namespace DriftWatch.Study;

/// <summary>The page that the study writes its tables into, each between marks of its own; what stands around them is left as it is.</summary>
/// <param name="path">The page.</param>
public sealed class StudyPage(string path)
{
    /// <summary>Says a table and puts it in its place.</summary>
    /// <param name="mark">Name of its place: the page holds the lines 'figures: name' and 'end: name' as comments.</param>
    /// <param name="columns">Heads of the columns.</param>
    /// <param name="rows">Rows, as wide as the head.</param>
    /// <exception cref="InvalidDataException">The page lacks the marks.</exception>
    public void Table(string mark, string[] columns, IEnumerable<string[]> rows)
    {
        var table = new StringBuilder();
        table.Append("| ").AppendJoin(" | ", columns).Append(" |\n|");
        foreach (string _ in columns)
        {
            table.Append(" --- |");
        }

        table.Append('\n');
        foreach (string[] row in rows)
        {
            table.Append("| ").AppendJoin(" | ", row).Append(" |\n");
        }

        Console.WriteLine(mark);
        Console.WriteLine(table);
        string page = File.ReadAllText(path), opening = $"<!-- figures: {mark} -->", closing = $"<!-- end: {mark} -->";
        int from = page.IndexOf(opening, StringComparison.Ordinal), to = page.IndexOf(closing, StringComparison.Ordinal);
        if (from < 0 || to < from)
        {
            throw new InvalidDataException($"{path} needs the lines '{opening}' and '{closing}'.");
        }

        File.WriteAllText(path, string.Concat(page.AsSpan(0, from + opening.Length), "\n", table.ToString(), page.AsSpan(to)));
    }
}
