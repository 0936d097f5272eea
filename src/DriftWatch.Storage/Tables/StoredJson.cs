using System.Text.Json;
using System.Text.Json.Serialization;
using System.Text.Json.Serialization.Metadata;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Following;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Records;
using DriftWatch.Storage.Sqlite;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Storage.Tables;

/// <summary>
/// How records are kept as documents: doubles in their shortest round-trip form (NaN and infinities as named
/// literals), instants to the tick, enumerations by name.
/// </summary>
[JsonSourceGenerationOptions(
    NumberHandling = JsonNumberHandling.AllowNamedFloatingPointLiterals,
    IgnoreReadOnlyProperties = true,
    UseStringEnumConverter = true)]
[JsonSerializable(typeof(PrechargeWindow))]
[JsonSerializable(typeof(Assessment))]
[JsonSerializable(typeof(Job))]
[JsonSerializable(typeof(JobNotice))]
[JsonSerializable(typeof(JobAnswer))]
[JsonSerializable(typeof(IReadOnlyCollection<string>))]
[JsonSerializable(typeof(AlarmChange))]
[JsonSerializable(typeof(AlarmAction))]
[JsonSerializable(typeof(AlarmNotice))]
[JsonSerializable(typeof(WorkRecord))]
[JsonSerializable(typeof(WorkVoid))]
[JsonSerializable(typeof(VesselBasis))]
internal sealed partial class StoredJson : JsonSerializerContext
{
    /// <summary>Reads the document in a column.</summary>
    public static T Read<T>(Statement row, int column, JsonTypeInfo<T> type)
    {
        try
        {
            return JsonSerializer.Deserialize(row.Bytes(column), type)
                ?? throw new JsonException("the document is null");
        }
        catch (JsonException failure)
        {
            throw new StoreUnavailableException(
                $"A stored {typeof(T).Name} cannot be read ({failure.Message}): the file is damaged or was written by another version.",
                failure);
        }
    }
}
