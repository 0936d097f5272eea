using DriftWatch.Acquisition.Door;
using DriftWatch.Acquisition.Files;
using DriftWatch.Acquisition.Mqtt;
using DriftWatch.Acquisition.Payloads;
using DriftWatch.Delivery.Answers;
using DriftWatch.Delivery.Dispatch;
using DriftWatch.Gas.Units;
using DriftWatch.Host.Acquiring;
using DriftWatch.Host.Alarming;
using DriftWatch.Host.Assessing;
using DriftWatch.Host.Charting;
using DriftWatch.Host.Delivering;
using DriftWatch.Host.Health;
using DriftWatch.Host.Keeping;
using DriftWatch.Host.Registering;
using DriftWatch.Host.Settings;
using DriftWatch.Host.Web;
using DriftWatch.Plant.History;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Notices;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using DriftWatch.Storage.Influx;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host;

/// <summary>Puts the service together from its settings.</summary>
internal static class ServiceComposition
{
    /// <summary>The service, not started.</summary>
    /// <param name="settings">Checked settings with absolute paths.</param>
    /// <param name="register">The vessels.</param>
    /// <param name="plantClock">The time of day at the plant.</param>
    /// <param name="door">What is let in.</param>
    /// <param name="threshold">Which messages are logged.</param>
    /// <param name="settingsFile">The file to take a changed log level in from; null for none.</param>
    /// <param name="tellsPast">Whether the queue is told each job of the past too, as a replay shows it.</param>
    public static IHost Build(
        ServiceSettings settings, VesselRegister register, TimeProvider plantClock, ReadingDoorOptions door, LogThreshold threshold,
        string? settingsFile = null, bool tellsPast = false)
    {
        DataFolder.Make(settings.DataFolder);
        HostApplicationBuilder builder = Microsoft.Extensions.Hosting.Host.CreateEmptyApplicationBuilder(new HostApplicationBuilderSettings());
        threshold.Filter(builder.Logging);
        ServiceLog.Add(builder.Logging, settings.Log);
        IServiceCollection services = builder.Services;
        services.AddSingleton(provider => new LiveRegister(
            register, provider.GetRequiredService<PlantStore>(), provider.GetRequiredService<PlantStore>()));
        services.AddSingleton(provider => new RegisterEditor(
            settings.Register, provider.GetRequiredService<LiveRegister>(), provider.GetRequiredService<PlantStore>(), TimeProvider.System));
        services.AddSingleton(new PlantClock(plantClock));
        services.AddSingleton(new ChartPlace(settings.ChartFolder, UnitOf(settings)));
        services.AddSingleton(_ => new PlantStore(StoreOptionsOf(settings) with { TellsPast = tellsPast }));
        services.AddSingleton<IVesselHistory>(provider => provider.GetRequiredService<PlantStore>());
        services.AddSingleton<IOutbox>(provider => provider.GetRequiredService<PlantStore>());
        services.AddSingleton<WorkSignal>();
        services.AddSingleton(settings.Alarms);
        services.AddSingleton(provider => new ServiceHealth(TimeProvider.System, provider.GetRequiredService<ILogger<ServiceHealth>>()));
        services.AddSingleton<IReadingSink>(provider =>
            new SignallingSink(provider.GetRequiredService<PlantStore>(), provider.GetRequiredService<WorkSignal>()));
        services.AddSingleton(provider => new Assessor(
            provider.GetRequiredService<LiveRegister>(), provider.GetRequiredService<IVesselHistory>(), settings.Alarms, TimeProvider.System,
            provider.GetRequiredService<ILogger<Assessor>>()));
        services.AddSingleton(provider => new ReadingDecoder(provider.GetRequiredService<LiveRegister>().Current, door: door));
        services.AddHostedService(provider => new RegisterWorker(
            settings.Register, provider.GetRequiredService<RegisterEditor>(), provider.GetRequiredService<LiveRegister>(),
            provider.GetRequiredService<ReadingDecoder>(), provider.GetRequiredService<WorkSignal>(), provider.GetRequiredService<ServiceHealth>(),
            provider.GetRequiredService<ILogger<RegisterWorker>>()));
        services.AddSingleton(_ => new QueueChannels(settings.Queue, settings.Alarms.Flood, settings.ChartFolder, TimeProvider.System));
        services.AddSingleton(provider => new OutboxDispatcher(
            provider.GetRequiredService<IOutbox>(), provider.GetRequiredService<QueueChannels>().All, new DispatchOptions(), TimeProvider.System, new Random(),
            provider.GetRequiredService<ILogger<OutboxDispatcher>>()));
        services.AddSingleton(OwnCertificate.Of(settings));
        services.AddHostedService<HealthWatch>();
        services.AddSingleton(provider => new StoreFigures(
            provider.GetRequiredService<PlantStore>(), StorePath(settings), provider.GetRequiredService<LiveRegister>(), TimeProvider.System));
        services.AddSingleton<ServiceMetrics>();
        Telemetry.Add(services, settings.Telemetry);
        if (settingsFile is not null)
        {
            services.AddHostedService(provider => new SettingsWorker(
                settingsFile, settings, threshold, provider.GetRequiredService<ServiceHealth>(), provider.GetRequiredService<ILogger<SettingsWorker>>()));
        }

        services.AddHostedService<DeliveryWorker>();

        // Around the assessment: it knows what stood before, and announces what came to the end.
        services.AddHostedService<AlarmWorker>();
        services.AddHostedService<AssessmentWorker>();
        services.AddHostedService<ChartWorker>();
        AddHistory(services, settings.History);
        if (settings.Queue.Answers is { } answers)
        {
            services.AddSingleton(settings.Queue);
            services.AddSingleton<IAnswerBook>(provider => provider.GetRequiredService<PlantStore>());
            services.AddSingleton(provider => new AnswerDesk(
                provider.GetRequiredService<IAnswerBook>(), answers.Options, TimeProvider.System, provider.GetRequiredService<ILogger<AnswerDesk>>()));
            services.AddHostedService<AnswerWorker>();
        }

        AddAcquisition(services, settings.Broker, settings.Queue);
        if (settings.Drops is { } drops)
        {
            LoggerProfile profile = ProfileFile.Open(drops.Profile);
            services.AddSingleton(provider => new DropFolder(
                drops.Folder, new LoggerImporter(provider.GetRequiredService<LiveRegister>(), provider.GetRequiredService<IReadingSink>(), profile, door), TimeSpan.FromSeconds(drops.SettleSeconds)));
            services.AddHostedService<DropWorker>();
        }

        if (settings.Web is { } web)
        {
            services.AddHostedService(provider => new DeskWorker(
                new Desk(provider.GetRequiredService<LiveRegister>(), provider.GetRequiredService<PlantStore>(), provider.GetRequiredService<PlantClock>(), UnitOf(settings))
                {
                    KeyFolder = KeyFolder(settings),
                    Alarms = settings.Alarms,
                    Editor = provider.GetRequiredService<RegisterEditor>(),
                    History = provider.GetRequiredService<IReadingHistory>(),
                    Answers = settings.Queue.Answers is { Http: true } ? provider.GetRequiredService<AnswerDesk>() : null,
                    Health = provider.GetRequiredService<ServiceHealth>(),
                    Metrics = provider.GetRequiredService<ServiceMetrics>().Text,
                },
                web, provider.GetRequiredService<ILoggerFactory>()));
        }

        return builder.Build();
    }

    /// <summary>How the store is opened: alike by the service and by a command that writes to it beside the service.</summary>
    public static StoreOptions StoreOptionsOf(ServiceSettings settings) => new()
    {
        Path = StorePath(settings),
        RawRetention = Days(settings.History.RawRetentionDays),
        RollUpRetention = Days(settings.History.RollUpRetentionDays),
        Spool = settings.History.Influx is not null,
        Channels = [.. settings.Queue.Names()],
        AlarmChannels = [.. settings.Queue.AlarmNames()],
    };

    public static string StorePath(ServiceSettings settings) => Path.Combine(settings.DataFolder, "driftwatch.db");

    /// <summary>Folder of the keys under which cookies and form tokens of the pages are sealed.</summary>
    public static string KeyFolder(ServiceSettings settings) => Path.Combine(settings.DataFolder, "keys");

    public static PressureUnit UnitOf(ServiceSettings settings) =>
        Units.TryParse(settings.PressureUnit, out PressureUnit? unit) ? unit : throw new InvalidOperationException("Settings were not checked.");

    private static TimeSpan? Days(int? days) => days is { } number ? TimeSpan.FromDays(number) : null;

    private static void AddHistory(IServiceCollection services, HistorySettings history)
    {
        services.AddHostedService<TendingWorker>();
        if (history.Influx is not { } influx)
        {
            services.AddSingleton<IReadingHistory>(provider => provider.GetRequiredService<PlantStore>());
            return;
        }

        InfluxOptions options = influx.ToOptions();
        services.AddSingleton(_ => new InfluxHistory(options));
        services.AddSingleton(provider => new InfluxBesideStore(
            provider.GetRequiredService<PlantStore>(), provider.GetRequiredService<InfluxHistory>(), TimeProvider.System));
        services.AddSingleton<IReadingHistory>(provider => provider.GetRequiredService<InfluxBesideStore>());
        services.AddSingleton(provider => new InfluxWriter(
            options, provider.GetRequiredService<PlantStore>(), provider.GetRequiredService<LiveRegister>(), TimeProvider.System,
            provider.GetRequiredService<ILogger<InfluxWriter>>()));
        services.AddHostedService<InfluxWorker>();
    }

    private static void AddAcquisition(IServiceCollection services, BrokerSettings broker, QueueSettings queue)
    {
        if (broker.Host is null)
        {
            EmbeddedBrokerOptions embedded = BrokerOptions.Embedded(broker, queue);
            services.AddSingleton(provider => new EmbeddedBroker(
                embedded, provider.GetRequiredService<ReadingDecoder>(), provider.GetRequiredService<IReadingSink>(),
                TimeProvider.System, provider.GetRequiredService<ILogger<EmbeddedBroker>>()));
            services.AddHostedService<BrokerWorker>();
            return;
        }

        MqttSubscriberOptions options = BrokerOptions.Outside(broker);
        services.AddSingleton(provider => new MqttSubscriber(
            options, provider.GetRequiredService<ReadingDecoder>(), provider.GetRequiredService<IReadingSink>(),
            TimeProvider.System, provider.GetRequiredService<ILogger<MqttSubscriber>>()));
        services.AddHostedService<SubscriberWorker>();
    }
}
