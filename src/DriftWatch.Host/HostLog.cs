using Microsoft.Extensions.Logging;

namespace DriftWatch.Host;

/// <summary>What the host logs; event numbers from 3000.</summary>
internal static partial class HostLog
{
    [LoggerMessage(3000, LogLevel.Error, "Assessment waits for the store: {Reason}")]
    public static partial void AssessmentWaits(ILogger log, Exception exception, string reason);

    [LoggerMessage(3001, LogLevel.Information, "Embedded broker listens on {Address}:{Port}.")]
    public static partial void BrokerListens(ILogger log, System.Net.IPAddress address, int port);

    [LoggerMessage(3002, LogLevel.Information, "Plant '{Plant}' with {Vessels} vessels; store {Store}; jobs go to {Queue}.")]
    public static partial void Starting(ILogger log, string plant, int vessels, string store, string queue);

    [LoggerMessage(3003, LogLevel.Warning, "Chart of vessel {Vessel} could not be drawn: {Reason}")]
    public static partial void ChartFailed(ILogger log, Exception exception, string vessel, string reason);

    [LoggerMessage(3004, LogLevel.Error, "Vessel {Vessel} could not be assessed and is left out for a while; its readings wait: {Reason}")]
    public static partial void VesselFailed(ILogger log, Exception exception, string vessel, string reason);

    [LoggerMessage(3005, LogLevel.Error, "Packing of the store waits: {Reason}")]
    public static partial void TendingWaits(ILogger log, Exception exception, string reason);

    [LoggerMessage(3006, LogLevel.Critical, "{Part} of the service ended by itself, and the service stops: {Reason}")]
    public static partial void PartEnded(ILogger log, Exception exception, string part, string reason);

    [LoggerMessage(3007, LogLevel.Error, "What stands for vessel {Vessel} could not be withdrawn as it left the register, or released as it came back: {Reason} 'store verify' names what cannot be read; it is tried again at the next start")]
    public static partial void WithdrawalFailed(ILogger log, Exception exception, string vessel, string reason);

    [LoggerMessage(3010, LogLevel.Warning, "Alarm, priority {Priority}: {Kind} on {Vessels}. {Why}")]
    public static partial void AlarmAnnounced(ILogger log, string priority, string kind, string vessels, string why);

    [LoggerMessage(3011, LogLevel.Error, "Alarms wait for the store: {Reason}")]
    public static partial void AlarmsWait(ILogger log, Exception exception, string reason);

    [LoggerMessage(3020, LogLevel.Information, "Logger file {File}: {Readings} new readings, {Rejected} rows or parts of rows not taken{Remarks}")]
    public static partial void FileTaken(ILogger log, string file, long readings, long rejected, string remarks);

    [LoggerMessage(3021, LogLevel.Warning, "Nothing could be taken from logger file {File}; the reasons stand in {Rejects}")]
    public static partial void FileFailed(ILogger log, string file, string? rejects);

    [LoggerMessage(3022, LogLevel.Warning, "Logger files wait: {Reason}")]
    public static partial void DropsWait(ILogger log, Exception exception, string reason);

    [LoggerMessage(3023, LogLevel.Warning, "File {Name} in the watched folder is left alone: it ends neither in .csv nor in .tsv or .txt (or these with .gz). Rename it, or export it as text")]
    public static partial void FilePassedOver(ILogger log, string name);

    [LoggerMessage(3024, LogLevel.Warning, "Logger file {Name} stays in the watched folder and is tried again: {Reason}")]
    public static partial void FileStuck(ILogger log, string name, string reason);

    [LoggerMessage(3030, LogLevel.Information, "Pages at {Address}")]
    public static partial void PagesAt(ILogger log, string address);

    [LoggerMessage(3031, LogLevel.Warning, "Pages show the state before: {Reason}")]
    public static partial void PagesStale(ILogger log, Exception exception, string reason);

    [LoggerMessage(3032, LogLevel.Warning, "Refused to {Person} at {From}: {Method} {Path}")]
    public static partial void Refused(ILogger log, string person, string from, string method, string path);

    [LoggerMessage(3033, LogLevel.Error, "The OpenID Connect provider {Authority} does not answer: {Reason}")]
    public static partial void ProviderAway(ILogger log, Exception exception, string authority, string reason);

    [LoggerMessage(3040, LogLevel.Information, "Register file {File} was changed by hand and taken in: {Changes} fields")]
    public static partial void RegisterTaken(ILogger log, string file, int changes);

    [LoggerMessage(3041, LogLevel.Error, "Register file {File} was changed by hand and has {Count} defects; the register before stays in use:\n{Defects}")]
    public static partial void RegisterRefused(ILogger log, string file, int count, string defects);

    [LoggerMessage(3042, LogLevel.Warning, "The register stays as it is for now: {Reason}")]
    public static partial void RegisterWaits(ILogger log, Exception exception, string reason);

    [LoggerMessage(EventId = 3050, Message = "Part '{Part}' of the service is {State}: {What} To mend it: {Mend}")]
    public static partial void PartUnwell(ILogger log, LogLevel level, string part, Health.HealthState state, string what, string mend);

    [LoggerMessage(3051, LogLevel.Information, "Part '{Part}' of the service is well again")]
    public static partial void PartWell(ILogger log, string part);

    // As a warning, so that it is seen at each level but 'error'.
    [LoggerMessage(3060, LogLevel.Warning, "Settings file {File} has changed: the log level is {Level}; what counts from the next start only: {Waiting}")]
    public static partial void SettingsTaken(ILogger log, string file, string level, string waiting);

    [LoggerMessage(3061, LogLevel.Error, "Settings file {File} has changed and has {Count} faults; the settings before stay in use:\n{Faults}")]
    public static partial void SettingsRefused(ILogger log, string file, int count, string faults);

    [LoggerMessage(3070, LogLevel.Warning, "Channel '{Channel}' is no longer in the settings: {Count} notices that waited for it are let go of. Put back, it gets those that arise from then on")]
    public static partial void ChannelGone(ILogger log, string channel, long count);
}
