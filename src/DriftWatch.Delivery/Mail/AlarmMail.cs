using DriftWatch.Delivery.Alarms;
using DriftWatch.Delivery.Documents;
using DriftWatch.Plant.Alarms;
using MimeKit;

namespace DriftWatch.Delivery.Mail;

/// <summary>Writes alarm notices as a mail: one each, or a flood as one, the documents attached.</summary>
internal static class AlarmMail
{
    public static MimeMessage Write(IReadOnlyList<AlarmNotice> notices, MailOptions options, AlarmFloodRule flood)
    {
        MimeMessage mail = new();
        mail.From.Add(MailboxAddress.Parse(options.From));
        mail.To.AddRange(options.To.Select(MailboxAddress.Parse));
        mail.Subject = notices.Count == 1 ? AlarmText.Headline(notices[0]) : AlarmText.Headline(notices);
        mail.Date = notices.Max(notice => notice.At);
        mail.MessageId = $"{NoticeId.Of(string.Join('\n', notices.Select(notice => notice.Key)))}@driftwatch.invalid";
        mail.Headers.Add("Auto-Submitted", "auto-generated");
        mail.Headers.Add("X-Event-Type", notices.Count == 1 ? AlarmDocument.From(notices[0]).Type : "driftwatch.alarm.digest");
        BodyBuilder body = new() { TextBody = AlarmText.Plain(notices, flood) };
        foreach (AlarmNotice notice in notices)
        {
            _ = body.Attachments.Add(
                $"alarm-{notice.Alarm.VesselId}-{notice.Alarm.Kind}.json", AlarmDocument.From(notice).ToUtf8Json(), new ContentType("application", "json"));
        }

        mail.Body = body.ToMessageBody();
        return mail;
    }
}
