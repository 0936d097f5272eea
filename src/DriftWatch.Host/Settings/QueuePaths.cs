using DriftWatch.Delivery.Security;

namespace DriftWatch.Host.Settings;

/// <summary>Makes the paths of the queue settings absolute; they are relative to the settings file.</summary>
internal static class QueuePaths
{
    public static QueueSettings Absolute(QueueSettings queue, string folder)
    {
        return queue with
        {
            Folder = Path.Combine(folder, queue.Folder),
            CsvFolder = Of(queue.CsvFolder),
            CalendarFolder = Of(queue.CalendarFolder),
            Mqtt = Server(queue.Mqtt),
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
            Amqp = Server(queue.Amqp),
            Amqp10 = Server(queue.Amqp10),
            Mail = Server(queue.Mail),
            Answers = queue.Answers is { } answers ? answers with { SigningSecret = Secret(answers.SigningSecret) } : null,
        };

        string? Of(string? path) => path is null ? null : Path.Combine(folder, path);

        T? Server<T>(T? server)
            where T : ServerOptions => server is null ? null : (T)((ServerOptions)server with { Password = Secret(server.Password), Tls = Tls(server.Tls) });

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
