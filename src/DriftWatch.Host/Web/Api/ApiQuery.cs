using System.Globalization;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.HttpResults;

namespace DriftWatch.Host.Web.Api;

/// <summary>What calls of the interface for programs share: whole numbers, pages, what is said of a bad query.</summary>
internal static class ApiQuery
{
    /// <summary>Cuts a page out of a list, in the form that programs read, and tells where the next and the previous one are.</summary>
    public static Page<TData> Cut<T, TData>(HttpContext context, IReadOnlyList<T> all, int number, int size, Func<T, TData> form)
    {
        long first = (long)(number - 1) * size;
        List<string> links = [];
        if (number > 1)
        {
            links.Add($"<{At(number - 1)}>; rel=\"prev\"");
        }

        if (first + size < all.Count)
        {
            links.Add($"<{At(number + 1)}>; rel=\"next\"");
        }

        if (links.Count > 0)
        {
            context.Response.Headers.Link = string.Join(", ", links);
        }

        return new Page<TData>(first < all.Count ? [.. all.Skip((int)first).Take(size).Select(form)] : [], number, size, all.Count);

        string At(int page) => context.Request.Path + QueryString.Create(
            [.. context.Request.Query.Where(pair => pair.Key != "page"), new("page", page.ToString(CultureInfo.InvariantCulture))]);
    }

    /// <summary>A whole number of the query.</summary>
    public static int Whole(HttpContext context, string name, int fallback, int least, int greatest, Dictionary<string, string[]> faults)
    {
        string text = context.Request.Query[name].FirstOrDefault() ?? "";
        if (text.Length == 0)
        {
            return fallback;
        }

        if (int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out int value) && value >= least && value <= greatest)
        {
            return value;
        }

        faults[name] = [$"'{text}' cannot be used: give a whole number from {least} to {greatest}."];
        return fallback;
    }

    public static ValidationProblem Faulty(Dictionary<string, string[]> faults) =>
        TypedResults.ValidationProblem(faults, title: "The query cannot be used.");

    public static ProblemHttpResult UnknownVessel(string id) => TypedResults.Problem(
        $"The register has no vessel '{id}'. List them at /api/v1/vessels.", statusCode: StatusCodes.Status404NotFound, title: "No such vessel.");
}
