using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using DriftWatch.Trends.Verdicts;
using Microsoft.AspNetCore.Http;

namespace DriftWatch.Host.Web.Fleet;

/// <summary>What a reader asks of the fleet; the same words in pages, table export and interface.</summary>
public sealed record FleetQuery
{
    public const int GreatestSize = 500;

    public const int DefaultSize = 50;

    /// <summary>Filter word for all vessels that need a hand.</summary>
    public const string Hand = "hand";

    /// <summary>Longest search text; nobody types more.</summary>
    private const int LongestSearch = 200;

    public string Search { get; init; } = "";

    /// <summary>Only vessels with this verdict; null for any.</summary>
    public Verdict? Verdict { get; init; }

    /// <summary>Only vessels that need a hand.</summary>
    public bool OnlyHand { get; init; }

    /// <summary>Only vessels at this place; empty for any.</summary>
    public string Place { get; init; } = "";

    public FleetSort Sort { get; init; } = FleetSort.Urgency;

    /// <summary>Whether vessels of a place stand together, places in the order of their first vessel.</summary>
    public bool ByPlace { get; init; }

    /// <summary>From 1.</summary>
    public int Page { get; init; } = 1;

    public int Size { get; init; } = DefaultSize;

    /// <summary>Reads a query string; every fault is named by its parameter.</summary>
    public static bool TryRead(IQueryCollection query, [NotNullWhen(true)] out FleetQuery? read, out Dictionary<string, string[]> faults)
    {
        faults = [];
        string Text(string name) => query[name].FirstOrDefault()?.Trim() ?? "";
        int Whole(string name, int fallback, int greatest, Dictionary<string, string[]> found)
        {
            string text = Text(name);
            if (text.Length == 0)
            {
                return fallback;
            }

            if (int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out int value) && value >= 1 && value <= greatest)
            {
                return value;
            }

            found[name] = [$"'{Short(text)}' is not a whole number from 1 to {greatest}."];
            return fallback;
        }

        string state = Text("verdict");
        Verdict? verdict = null;
        if (state.Length > 0 && state != Hand)
        {
            verdict = Enum.GetValues<Verdict>().Select(known => (Verdict?)known).FirstOrDefault(known => Name(known!.Value) == state);
            if (verdict is null)
            {
                faults["verdict"] = [$"'{Short(state)}' is no verdict: give {Hand}, {string.Join(", ", Enum.GetValues<Verdict>().Select(Name))}, or leave it out."];
            }
        }

        string sorting = Text("sort");
        FleetSort sort = FleetSort.Urgency;
        if (sorting.Length > 0 && (char.IsAsciiDigit(sorting[0]) || !Enum.TryParse(sorting, ignoreCase: true, out sort) || !Enum.IsDefined(sort)))
        {
            faults["sort"] = [$"'{Short(sorting)}' is no order: give {string.Join(", ", Enum.GetNames<FleetSort>().Select(name => name.ToLowerInvariant()))}, or leave it out."];
        }

        string grouping = Text("group");
        if (grouping is not ("" or "place"))
        {
            faults["group"] = [$"'{Short(grouping)}' is no group: give place, or leave it out."];
        }

        string search = Text("q");
        if (search.Length > LongestSearch)
        {
            faults["q"] = [$"The search text has {search.Length} characters: give at most {LongestSearch}."];
        }

        int page = Whole("page", 1, int.MaxValue, faults);
        int size = Whole("size", DefaultSize, GreatestSize, faults);
        read = faults.Count > 0 ? null : new FleetQuery
        {
            Search = search,
            Verdict = verdict,
            OnlyHand = state == Hand,
            Place = Text("place"),
            Sort = sort,
            ByPlace = grouping == "place",
            Page = page,
            Size = size,
        };
        return read is not null;
    }

    /// <summary>Name of a verdict in addresses and data.</summary>
    public static string Name(Verdict verdict)
    {
        string name = verdict.ToString();
        return char.ToLowerInvariant(name[0]) + name[1..];
    }

    /// <summary>The query as the part of an address after '?', without what stands at its default; empty for all at default.</summary>
    public string Address(string path)
    {
        List<string> parts = [];
        void Add(string name, string value)
        {
            if (value.Length > 0)
            {
                parts.Add($"{name}={Uri.EscapeDataString(value)}");
            }
        }

        Add("q", Search);
        Add("verdict", StateWord);
        Add("place", Place);
        Add("sort", Sort == FleetSort.Urgency ? "" : Sort.ToString().ToLowerInvariant());
        Add("group", ByPlace ? "place" : "");
        Add("page", Page == 1 ? "" : Page.ToString(CultureInfo.InvariantCulture));
        Add("size", Size == DefaultSize ? "" : Size.ToString(CultureInfo.InvariantCulture));
        return parts.Count == 0 ? path : $"{path}?{string.Join('&', parts)}";
    }

    /// <summary>The filter by verdict as a word; empty for none.</summary>
    public string StateWord => OnlyHand ? Hand : Verdict is { } only ? Name(only) : "";

    /// <summary>All vessels asked for, in the order asked for; the page is not cut out yet.</summary>
    public IReadOnlyList<FleetRow> Select(FleetSnapshot fleet)
    {
        string[] words = Search.ToUpperInvariant().Split(' ', StringSplitOptions.RemoveEmptyEntries);
        IEnumerable<FleetRow> rows = fleet.ByUrgency.Where(row =>
            (!OnlyHand || row.NeedsAHand)
            && (Verdict is not { } only || row.Verdict == only)
            && (Place.Length == 0 || row.Vessel.Place == Place)
            && words.All(word => row.SearchText.Contains(word, StringComparison.Ordinal)));

        // The fleet stands in order of urgency and the sort is stable: equals stay in that order.
        rows = Sort switch
        {
            FleetSort.Vessel => rows.OrderBy(row => row.Vessel.Id, StringComparer.Ordinal),
            FleetSort.Precharge => rows.OrderBy(row => row.PercentOfNominal ?? double.PositiveInfinity),
            FleetSort.Loss => rows.OrderByDescending(row => row.LossPaPerMonth / row.AllowedPaPerMonth ?? double.NegativeInfinity),
            FleetSort.Earliest => rows.OrderBy(row => row.Earliest ?? DateTimeOffset.MaxValue),
            FleetSort.Volume => rows.OrderByDescending(row => row.LostUsableVolume?.Share ?? double.NegativeInfinity),
            FleetSort.Age => rows.OrderBy(row => row.LastWindow ?? DateTimeOffset.MinValue),
            _ => rows,
        };
        return ByPlace ? [.. rows.GroupBy(row => row.Vessel.Place).SelectMany(place => place)] : [.. rows];
    }

    /// <summary>What a caller wrote, cut to a length that an answer can bear.</summary>
    private static string Short(string text) => text.Length <= 40 ? text : text[..40] + "...";
}
