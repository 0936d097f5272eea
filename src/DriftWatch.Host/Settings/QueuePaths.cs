using DriftWatch.Delivery.Security;

namespace DriftWatch.Host.Settings;

/// <summary>Makes the paths of the queue settings absolute; they are relative to the settings file.</summary>
internal static class QueuePaths
{
    public static QueueSettings Absolute(QueueSettings queue, string folder)
    {
        return queue with
        {
            Folder = Of(queue.Folder)!,
            CsvFolder = Of(queue.CsvFolder),
            CalendarFolder = Of(queue.CalendarFolder),
            Mqtt = queue.Mqtt is { } mqtt ? mqtt with { Password = Secret(mqtt.Password), Tls = Tls(mqtt.Tls) } : null,
            Webhooks =
            [
                .. queue.Webhooks.Select(webhook => webhook with
                {
                    SigningSecret = Secret(webhook.SigningSecret),
                    SecondSigningSecret = Secret(webhook.SecondSigningSecret),
                    BearerToken = Secret(webhook.BearerToken),
                    TemplateFile = Of(webhook.TemplateFile),
                    Tls = Tls(webhook.Tls),
                }),
            ],
            Amqp = queue.Amqp is { } amqp ? amqp with { Password = Secret(amqp.Password), Tls = Tls(amqp.Tls) } : null,
            Amqp10 = queue.Amqp10 is { } amqp10 ? amqp10 with { Password = Secret(amqp10.Password), Tls = Tls(amqp10.Tls) } : null,
            Mail = queue.Mail is { } mail ? mail with { Password = Secret(mail.Password), Tls = Tls(mail.Tls) } : null,
            Answers = queue.Answers is { } answers ? answers with { SigningSecret = Secret(answers.SigningSecret) } : null,
        };

        string? Of(string? path) => SettingsPaths.In(folder, path);

        SecretSource? Secret(SecretSource? source) => source is null ? null : source with { File = Of(source.File) };

        TlsSettings? Tls(TlsSettings? tls) => tls is null
            ? null
            : tls with
            {
                AuthorityFile = Of(tls.AuthorityFile),
                ClientCertificateFile = Of(tls.ClientCertificateFile),
                ClientKeyFile = Of(tls.ClientKeyFile),
            };
    }
}
