using System.Net;
using System.Text;
using DriftWatch.Delivery.Documents;
using DriftWatch.Plant.Jobs;
using MimeKit;

namespace DriftWatch.Delivery.Mail;

/// <summary>Writes a notice as a mail: text and HTML alike, the chart inline, the document attached.</summary>
internal static class JobMail
{
    public static MimeMessage Write(JobNotice notice, MailOptions options, ReadOnlyMemory<byte>? chartPng)
    {
        JobDocument document = JobDocument.From(notice);
        MimeMessage mail = new();
        mail.From.Add(MailboxAddress.Parse(options.From));
        mail.To.AddRange(options.To.Select(MailboxAddress.Parse));
        mail.Subject = JobText.Headline(document);
        mail.Date = notice.At;

        // The same id at every repetition, by which mail systems drop the second copy; a job's notices are one thread.
        mail.MessageId = $"{NoticeId.Of(document.Id)}@driftwatch.invalid";
        string thread = $"{NoticeId.Of(document.Job.Key)}@driftwatch.invalid";
        mail.References.Add(thread);
        mail.InReplyTo = thread;
        mail.Headers.Add("Auto-Submitted", "auto-generated");
        mail.Headers.Add("X-Event-Type", document.Type);

        BodyBuilder body = new() { TextBody = JobText.Plain(document) };
        string? chartId = null;
        if (chartPng is { } png)
        {
            MimeEntity chart = body.LinkedResources.Add("trend.png", png.ToArray(), new ContentType("image", "png"));
            chart.ContentId = chartId = $"trend.{NoticeId.Of(document.Id)}@driftwatch.invalid";
            chart.ContentDisposition = new ContentDisposition(ContentDisposition.Inline) { FileName = "trend.png" };
        }

        body.HtmlBody = Html(document, chartId);
        _ = body.Attachments.Add("job.json", document.ToUtf8Json(), new ContentType("application", "json"));
        mail.Body = body.ToMessageBody();
        return mail;
    }

    private static string Html(JobDocument document, string? chartId)
    {
        StringBuilder html = new("<!DOCTYPE html><html lang=\"en\"><body style=\"font-family:sans-serif\">\n");
        _ = html.Append("<h1 style=\"font-size:1.2em\">").Append(Encode(JobText.Headline(document))).Append("</h1>\n");
        foreach ((string title, IReadOnlyList<string> lines) in JobText.Sections(document))
        {
            _ = html.Append("<h2 style=\"font-size:1em\">").Append(Encode(title)).Append("</h2>\n");
            foreach (string line in lines)
            {
                _ = html.Append("<p style=\"margin:0.2em 0\">").Append(Encode(line)).Append("</p>\n");
            }

            if (title == "Why" && chartId is not null)
            {
                _ = html.Append("<p><img alt=\"Trend of the precharge\" src=\"cid:").Append(chartId).Append("\"></p>\n");
            }
        }

        return html.Append("</body></html>\n").ToString();
    }

    private static string Encode(string text) => WebUtility.HtmlEncode(text);
}
