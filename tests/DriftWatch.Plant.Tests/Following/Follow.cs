using System.Text.Json;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Following;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Tests;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Plant.Tests.Following;

/// <summary>Follows a sample vessel as a store would: keeps its windows and notices, and starts anew from the stored state when told.</summary>
internal sealed class Follow
{
    private readonly SortedDictionary<DateTimeOffset, PrechargeWindow> _windows = [];
    private readonly List<JobNotice> _notices = [];
    private readonly List<AlarmChange> _alarmChanges = [];
    private VesselFollower _follower;

    public Follow(SampleVessel sample)
    {
        Vessel = VesselOf(sample);
        _follower = new VesselFollower(Vessel, FollowerState.Start, [], AlarmHandling.Usual);
    }

    public Vessel Vessel { get; }

    public VesselFollower Follower => _follower;

    public IReadOnlyCollection<PrechargeWindow> Windows => _windows.Values;

    public IReadOnlyList<JobNotice> Notices => _notices;

    public IEnumerable<PrechargeWindow> Accepted => Windows.Where(window => window.Standing == WindowStanding.Accepted);

    /// <summary>Greatest state seen at a keeping, bytes.</summary>
    public int GreatestState { get; private set; }

    /// <summary>Windows, notices, alarm changes and state in one text that is equal only if every bit is.</summary>
    public string Everything => string.Join('\n', [
        .. Windows.Select(window => JsonSerializer.Serialize(window, Json)),
        .. Notices.Select(notice => JsonSerializer.Serialize(notice, Json)),
        .. _alarmChanges.Select(change => JsonSerializer.Serialize(change, Json)),
        System.Text.Encoding.UTF8.GetString(_follower.State.ToJson()),
    ]);

    private static JsonSerializerOptions Json { get; } = new()
    {
        NumberHandling = System.Text.Json.Serialization.JsonNumberHandling.AllowNamedFloatingPointLiterals,
    };

    public static Vessel VesselOf(SampleVessel sample) =>
        new(sample.Script.Id, sample.Script.Description, sample.Script.Place, sample.Specification, [], [.. sample.Charges.Select(at => new PrechargeCheck(at))]);

    /// <summary>One run over all readings.</summary>
    public static Follow Whole(string id)
    {
        SampleVessel sample = SampleVessel.Of(id);
        var follow = new Follow(sample);
        foreach (Reading reading in sample.Readings)
        {
            follow.Accept(reading);
        }

        follow.Keep();
        return follow;
    }

    public void Accept(Reading reading) => _follower.Accept(reading);

    /// <summary>Takes what is new into the store.</summary>
    public void Keep()
    {
        foreach (PrechargeWindow window in _follower.TakeChangedWindows())
        {
            _windows[window.Start] = window;
        }

        _notices.AddRange(_follower.TakeNotices());
        _alarmChanges.AddRange(_follower.TakeAlarmChanges());
    }

    /// <summary>The program ends and starts again from the store.</summary>
    public void Restart()
    {
        Keep();
        byte[] state = _follower.State.ToStored();
        GreatestState = Math.Max(GreatestState, state.Length);
        _follower = new VesselFollower(Vessel, FollowerState.FromStored(state)!, [.. Accepted], AlarmHandling.Usual);
    }
}
