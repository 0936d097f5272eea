using DriftWatch.Acquisition.Files;
using DriftWatch.Host.Assessing;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;
using Microsoft.Extensions.Logging.Abstractions;

namespace DriftWatch.Web.Tests;

/// <summary>A vessel that leaves the register leaves nothing behind that nobody could end, and has it again when it comes back.</summary>
public sealed class RetiredVesselTests
{
    /// <summary>Has burst: a job and alarms stand for it.</summary>
    private const string Burst = "SH1-A2";

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Its_jobs_are_withdrawn_its_alarms_are_shown_no_more_and_both_stand_again_on_its_return()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync(new WebSettings { Port = 0 });
        VesselRegister whole = plant.Register.Current;
        DateTimeOffset now = Commit(plant, whole);
        Assessor assessor = new(plant.Register, plant.Store, AlarmHandling.Usual, plant.Time, NullLogger<Assessor>.Instance);
        RetiredVessels retired = new(plant.Store, plant.Register, NullLogger.Instance);
        Assert.Empty(Look());
        Job open = Assert.Single(plant.Store.OpenJobs(Burst));
        (AlarmKind, AlarmState, DateTimeOffset)[] alarms = Alarms();
        Assert.Contains(alarms, alarm => alarm.Item2 == AlarmState.Unacknowledged);
        Assert.Contains(Burst, await plant.Desk.Client.GetStringAsync("/alarms", Ended), StringComparison.Ordinal);

        plant.Register.Replace(new VesselRegister(whole.Plant, [.. whole.Vessels.Where(vessel => vessel.Id != Burst)], whole.TopicTemplate));
        Assert.Equal([Burst], Look());
        JobNotice withdrawn = plant.Store.LastNotices(Burst).Single(notice => notice.Job.Key == open.Key);
        Assert.Equal((JobState.Closed, (JobEnd?)JobEnd.Withdrawn, open.Revision + 1), (withdrawn.State, withdrawn.End, withdrawn.Job.Revision));
        Assert.Equal("The vessel is no longer in the register.", withdrawn.Why);
        Assert.Empty(plant.Store.OpenJobs(Burst));
        Assert.All(Alarms(), alarm => Assert.True(alarm.Item2 is AlarmState.Normal or AlarmState.SuppressedByDesign, alarm.ToString()));
        Assert.DoesNotContain(Burst, await plant.Desk.Client.GetStringAsync("/alarms", Ended), StringComparison.Ordinal);
        Assert.DoesNotContain(Burst, await plant.Desk.Client.GetStringAsync("/api/v1/alarms?state=all", Ended), StringComparison.Ordinal);

        // A start of the service looks at all that is not in the register, and finds nothing left to say.
        Assert.Empty(new RetiredVessels(plant.Store, plant.Register, NullLogger.Instance).Withdraw(now));

        plant.Register.Replace(whole);
        Assert.Empty(Look());
        Job again = Assert.Single(plant.Store.OpenJobs(Burst));
        Assert.Equal((open.Key, withdrawn.Job.Revision + 1), (again.Key, again.Revision));
        Assert.Equal(alarms, Alarms());

        string[] Look()
        {
            now = now.AddMinutes(1);
            assessor.TakeInWaiting(Ended);
            assessor.LetTimePass(now, Ended);
            List<string> left = [];
            foreach (string id in retired.Withdraw(now))
            {
                assessor.Forget(id);
                left.Add(id);
            }

            return [.. left];
        }

        (AlarmKind, AlarmState, DateTimeOffset)[] Alarms() =>
            [.. plant.Store.Alarms(now, Burst).Alarms.Select(alarm => (alarm.Kind, alarm.Status.State, alarm.Raised))];
    }

    /// <summary>Whoever edits the file while the service is down has it started without the vessel.</summary>
    [Fact]
    public async Task What_left_while_the_service_was_down_is_seen_to_at_its_start()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync(new WebSettings { Port = 0 });
        VesselRegister whole = plant.Register.Current;
        DateTimeOffset now = Commit(plant, whole);
        Assessor assessor = new(plant.Register, plant.Store, AlarmHandling.Usual, plant.Time, NullLogger<Assessor>.Instance);
        assessor.TakeInWaiting(Ended);
        assessor.LetTimePass(now, Ended);
        Assert.NotEmpty(plant.Store.OpenJobs(Burst));

        LiveRegister without = new(new VesselRegister(whole.Plant, [.. whole.Vessels.Where(vessel => vessel.Id != Burst)], whole.TopicTemplate), plant.Store);
        Assert.Equal([Burst], new RetiredVessels(plant.Store, without, NullLogger.Instance).Withdraw(now));
        Assert.Empty(plant.Store.OpenJobs(Burst));
        Assert.Contains(plant.Store.Alarms(now, Burst).Alarms, alarm => alarm.Status.SuppressedByRule);

        // Back at the next start, before anything of it is assessed: a new alarm of it would be heard.
        Assert.Empty(new RetiredVessels(plant.Store, plant.Register, NullLogger.Instance).Withdraw(now.AddMinutes(1)));
        Assert.DoesNotContain(plant.Store.Alarms(now.AddMinutes(1), Burst).Alarms, alarm => alarm.Status.SuppressedByRule);
    }

    [Fact]
    public async Task A_job_on_record_that_cannot_be_read_keeps_no_other_from_being_withdrawn()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync(new WebSettings { Port = 0 });
        VesselRegister whole = plant.Register.Current;
        DateTimeOffset now = Commit(plant, whole);
        Assessor assessor = new(plant.Register, plant.Store, AlarmHandling.Usual, plant.Time, NullLogger<Assessor>.Instance);
        assessor.TakeInWaiting(Ended);
        _ = plant.Execute("INSERT INTO vessel (name) VALUES ('SPOILT')");
        _ = plant.Execute("INSERT INTO job (key, vessel, raised, document, revision) SELECT 'spoilt', id, 0, 'rubbish', 1 FROM vessel WHERE name = 'SPOILT'");
        Assert.Contains("SPOILT", plant.Store.VesselsWithStandingJobs());
        Assert.NotEmpty(plant.Store.StandingCauses()[Burst]);

        LiveRegister without = new(new VesselRegister(whole.Plant, [.. whole.Vessels.Where(vessel => vessel.Id != Burst)], whole.TopicTemplate), plant.Store);
        Assert.Equal([Burst], new RetiredVessels(plant.Store, without, NullLogger.Instance).Withdraw(now));
    }

    /// <summary>Puts the readings of the vessel into the store; gives the moment of the last one.</summary>
    private static DateTimeOffset Commit(PlantOfOne plant, VesselRegister register)
    {
        DateTimeOffset last = DateTimeOffset.MinValue;
        foreach (VesselReading[] readings in new LoggerFileReader(register)
            .Read(Path.Combine(Repository.SampleStreams, Burst + ".csv.gz"), DateTimeOffset.MaxValue, row => throw new InvalidDataException(row.ToString()))
            .Chunk(20_000))
        {
            plant.Store.Commit(readings, []);
            last = readings[^1].Reading.Instant;
        }

        return last;
    }
}
