using System.Text.RegularExpressions;
using DriftWatch.Delivery.Documents;
using DriftWatch.Delivery.Mail;
using DriftWatch.Delivery.Security;
using DriftWatch.Delivery.Tests.Support;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Safety;
using DriftWatch.TestPeers;
using MimeKit;

namespace DriftWatch.Delivery.Tests.Mail;

/// <summary>Against a real SMTP server that insists on STARTTLS and login.</summary>
public sealed class MailChannelTests : IDisposable
{
    private static readonly byte[] Chart = [0x89, .. "PNG\r\n"u8, 0x1A, 0x0A, 1, 2, 3];

    private readonly TempFolder _folder = new();
    private readonly TestCertificates _certificates = new();

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    public void Dispose()
    {
        _folder.Dispose();
        _certificates.Dispose();
    }

    [Fact]
    public async Task A_mail_says_all_that_the_work_needs_with_the_chart_inline_and_the_document_attached()
    {
        await using SmtpSink sink = await SmtpSink.StartAsync(_certificates, "secret-1");
        await Channel(sink, "secret-1").DeliverAsync(Given.Opened(Given.Job() with { Reason = "Loss <b>too</b> high & rising." }), Ended);
        (string from, string[] to, bool tls, byte[] content) = await sink.TakeAsync();
        Assert.Equal(("driftwatch@works.invalid", true), (from, tls));
        Assert.Equal(["crew@works.invalid", "planner@works.invalid"], to);

        MimeMessage mail = Read(content);
        Assert.Equal("P3-ACC-2: precharge below its lower limit, due 2025-03-08", mail.Subject);
        string html = mail.HtmlBody!;
        string text = mail.TextBody!;
        foreach (string needed in (string[])["Hall 2, press 3", "1. Isolate the fluid side", "20 °C: 90.0 bar", "0.42 kg", "12 windows since", "2025-03-08 06:00 UTC", .. SafetyLines.All])
        {
            Assert.Contains(needed, text, StringComparison.Ordinal);
            Assert.Contains(System.Net.WebUtility.HtmlEncode(needed), html, StringComparison.Ordinal);
        }

        Assert.Contains("Loss &lt;b&gt;too&lt;/b&gt; high &amp; rising.", html, StringComparison.Ordinal);
        string shown = Regex.Match(html, "src=\"cid:([^\"]+)\"").Groups[1].Value;
        MimePart chart = mail.BodyParts.OfType<MimePart>().Single(part => part.ContentId == shown);
        Assert.Equal("image/png", chart.ContentType.MimeType);
        Assert.Equal(Chart, Bytes(chart));
        MimePart attached = (MimePart)mail.Attachments.Single();
        Assert.Equal("job.json", attached.FileName);
        Assert.StartsWith("{", System.Text.Encoding.UTF8.GetString(Bytes(attached)), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_repetition_has_the_same_id_and_the_notices_of_a_job_are_one_thread()
    {
        await using SmtpSink sink = await SmtpSink.StartAsync(_certificates, "secret-1");
        MailChannel channel = Channel(sink, "secret-1");
        List<MimeMessage> mails = [];
        foreach (JobNotice notice in (JobNotice[])[Given.Opened(), Given.Opened(), Given.Closed()])
        {
            await channel.DeliverAsync(notice, Ended);
            mails.Add(Read((await sink.TakeAsync()).Content));
        }

        Assert.Equal(mails[0].MessageId, mails[1].MessageId);
        Assert.NotEqual(mails[0].MessageId, mails[2].MessageId);
        _ = Assert.Single(mails.Select(mail => mail.InReplyTo).Distinct());
        Assert.Contains("Charged to 90 bar.", mails[2].TextBody, StringComparison.Ordinal);
        Assert.Contains(SafetyLines.All[0], mails[2].TextBody, StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_servers_word_on_the_message_decides_whether_another_try_is_of_use()
    {
        await using SmtpSink sink = await SmtpSink.StartAsync(_certificates, "secret-1");
        MailChannel channel = Channel(sink, "secret-1");
        NoticeRefusedException forGood = await Assert.ThrowsAsync<NoticeRefusedException>(() => channel.DeliverAsync(Given.Opened(Given.Job("REFUSE")), Ended));
        Assert.True(forGood.IsPermanent);
        NoticeRefusedException forNow = await Assert.ThrowsAsync<NoticeRefusedException>(() => channel.DeliverAsync(Given.Opened(Given.Job("LATER")), Ended));
        Assert.False(forNow.IsPermanent);
    }

    [Fact]
    public async Task Somebody_who_has_left_keeps_the_mails_from_nobody_else_and_is_named_until_he_is_taken_out()
    {
        await using SmtpSink sink = await SmtpSink.StartAsync(_certificates, "secret-1");
        MailChannel channel = Channel(sink, "secret-1", "crew@works.invalid", "gone@works.invalid");
        await channel.DeliverAsync(Given.Opened(), Ended);
        Assert.Equal(["crew@works.invalid"], (await sink.TakeAsync()).To);
        Assert.Equal("gone@works.invalid: 550 5.1.1 nobody of that name", channel.RefusedRecipients);
    }

    [Fact]
    public async Task A_mail_that_nobody_gets_or_that_one_cannot_get_now_is_tried_again_and_the_recipient_named()
    {
        await using SmtpSink sink = await SmtpSink.StartAsync(_certificates, "secret-1");
        IOException nobody = await Assert.ThrowsAsync<IOException>(() => Channel(sink, "secret-1", "gone@works.invalid", "gone@far.invalid").DeliverAsync(Given.Opened(), Ended));
        Assert.Contains("gone@works.invalid: 550 5.1.1 nobody of that name; gone@far.invalid: 550", nobody.Message, StringComparison.Ordinal);
        IOException now = await Assert.ThrowsAsync<IOException>(() => Channel(sink, "secret-1", "crew@works.invalid", "full@works.invalid").DeliverAsync(Given.Opened(), Ended));
        Assert.Contains("full@works.invalid: 452 4.2.2 mailbox full", now.Message, StringComparison.Ordinal);

        // Nothing of these tries left: the next mail is the first.
        await Channel(sink, "secret-1").DeliverAsync(TestNotice.At(Given.Instant), Ended);
        Assert.Equal("Test of this channel: nothing is to be done", Read((await sink.TakeAsync()).Content).Subject);
    }

    [Fact]
    public async Task A_wrong_password_or_an_unknown_authority_fails_the_delivery_and_no_mail_leaves()
    {
        await using SmtpSink sink = await SmtpSink.StartAsync(_certificates, "secret-1");
        Exception refused = await Assert.ThrowsAsync<MailKit.Security.AuthenticationException>(() => Channel(sink, "secret-2").DeliverAsync(Given.Opened(), Ended));
        Assert.DoesNotContain("secret-2", refused.ToString(), StringComparison.Ordinal);
        MailChannel wary = new(Options(sink, "secret-1") with { Tls = null }, AlarmHandling.Usual.Flood, _ => null);
        _ = await Assert.ThrowsAsync<MailKit.Security.SslHandshakeException>(() => wary.DeliverAsync(Given.Opened(), Ended));
        await Channel(sink, "secret-1").DeliverAsync(TestNotice.At(Given.Instant), Ended);
        Assert.Equal("Test of this channel: nothing is to be done", Read((await sink.TakeAsync()).Content).Subject);
    }

    [Fact]
    public void All_faults_of_the_settings_are_told_at_once_by_their_fields()
    {
        MailOptions bad = new() { Name = "", Host = "", Port = 0, Security = "some", From = "nobody", To = ["a@b.invalid", "x"], Timeout = TimeSpan.Zero };
        Assert.Equal(["m.name", "m.host", "m.port", "m.timeout", "m.security", "m.from", "m.to"], bad.Faults("m").Select(fault => fault.Split(' ')[0]));
        MailOptions inClear = new() { Host = "h", From = "a@b.invalid", To = [], Security = "none", UserName = "u", Password = _folder.Secret("p") };
        Assert.Equal(["m.security", "m.to"], inClear.Faults("m").Select(fault => fault.Split(' ')[0]));
    }

    private MailChannel Channel(SmtpSink sink, string password, params string[] to) => new(
        to.Length > 0 ? Options(sink, password) with { To = to } : Options(sink, password), AlarmHandling.Usual.Flood, vessel => vessel == "P3-ACC-2" ? Chart : null);

    private MailOptions Options(SmtpSink sink, string password) => new()
    {
        Host = "127.0.0.1",
        Port = sink.Port,
        UserName = "jobs",
        Password = _folder.Secret(password),
        Tls = new TlsSettings { AuthorityFile = _certificates.AuthorityFile },
        From = "driftwatch@works.invalid",
        To = ["crew@works.invalid", "planner@works.invalid"],
    };

    private static MimeMessage Read(byte[] content) => MimeMessage.Load(new MemoryStream(content));

    private static byte[] Bytes(MimePart part)
    {
        using MemoryStream bytes = new();
        part.Content!.DecodeTo(bytes);
        return bytes.ToArray();
    }
}
