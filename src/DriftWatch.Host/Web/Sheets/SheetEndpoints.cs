using System.Text;
using DriftWatch.Charts.Sheets;
using DriftWatch.Host.Sheets;
using DriftWatch.Host.Web.Api;
using DriftWatch.Host.Web.Readers;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Routing;

namespace DriftWatch.Host.Web.Sheets;

/// <summary>The sheets, as pages that print well and as PDF.</summary>
internal static class SheetEndpoints
{
    private const string PdfType = "application/pdf";

    public static void MapSheets(this IEndpointRouteBuilder routes)
    {
        RouteGroupBuilder sheets = routes.MapGroup("/sheets").ExcludeFromDescription();
        foreach ((string ending, Func<Sheet, string, IResult> form) in new (string, Func<Sheet, string, IResult>)[] { ("", Page), (".pdf", Pdf) })
        {
            sheets.MapGet("/job" + ending, (string key, HttpRequest request, Desk desk) =>
                Maker(request, desk).Job(key) is { } sheet ? form(sheet, "job-" + key) : TypedResults.NotFound());
            sheets.MapGet("/vessel" + ending, (string id, HttpRequest request, Desk desk) =>
                Maker(request, desk).Vessel(id) is { } sheet ? form(sheet, "vessel-" + id) : TypedResults.NotFound());
            sheets.MapGet("/fleet" + ending, (string? month, string? place, HttpRequest request, Desk desk) => Fleet(month ?? "", place ?? "", request, desk, form));
        }

        RouteGroupBuilder api = routes.MapGroup("/api/v1/sheets").WithTags("Sheets");
        api.MapGet("/job", (string key, HttpRequest request, Desk desk) =>
                Maker(request, desk).Job(key) is { } sheet ? (IResult)Pdf(sheet, "job-" + key) : NoSuchJob(key))
            .WithName("getJobSheet").WithSummary("The sheet of a job as PDF, by its key").Produces<byte[]>(contentType: PdfType).ProducesProblem(StatusCodes.Status404NotFound);
        api.MapGet("/vessel", (string id, HttpRequest request, Desk desk) =>
                Maker(request, desk).Vessel(id) is { } sheet ? (IResult)Pdf(sheet, "vessel-" + id) : ApiQuery.UnknownVessel(id))
            .WithName("getVesselSheet").WithSummary("The record of a vessel as PDF").Produces<byte[]>(contentType: PdfType).ProducesProblem(StatusCodes.Status404NotFound);
        api.MapGet("/fleet", (string? month, string? place, HttpRequest request, Desk desk) => Fleet(month ?? "", place ?? "", request, desk, Pdf))
            .WithName("getFleetSheet").WithSummary("The report of a month over the fleet as PDF; the newest where no month is given")
            .Produces<byte[]>(contentType: PdfType).ProducesValidationProblem().ProducesProblem(StatusCodes.Status404NotFound);
    }

    private static ProblemHttpResult NoSuchJob(string key) =>
        TypedResults.Problem($"No job has the key '{key}'.", statusCode: StatusCodes.Status404NotFound, title: "No such job.");

    private static IResult Fleet(string month, string place, HttpRequest request, Desk desk, Func<Sheet, string, IResult> form)
    {
        (int Year, int Month)? wanted = null;
        if (month.Length > 0)
        {
            if (!MonthText.TryRead(month, out (int Year, int Month) read))
            {
                return ApiQuery.Faulty(new() { ["month"] = [MonthText.Remedy] });
            }

            wanted = read;
        }

        return Maker(request, desk).Fleet(wanted, place) is { } sheet
            ? form(sheet, string.Join('-', new[] { "fleet", place, month }.Where(part => part.Length > 0)))
            : TypedResults.NotFound();
    }

    private static SheetMaker Maker(HttpRequest request, Desk desk) =>
        new(desk.Register, desk.Store, desk.Clock.Now, ReaderFormat.Of(request, desk.Unit).Unit);

    private static ContentHttpResult Page(Sheet sheet, string name) =>
        TypedResults.Text(sheet.ToHtml(DeskFiles.Address("sheet.css"), DeskFiles.Address("mark.svg")), "text/html", Encoding.UTF8);

    private static FileContentHttpResult Pdf(Sheet sheet, string name) =>
        TypedResults.File(sheet.ToPdf(), PdfType, $"{name.Replace('/', '-')}.pdf");
}
