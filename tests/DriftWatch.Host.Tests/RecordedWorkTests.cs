using DriftWatch.Gas.Quantities;
using DriftWatch.Host.Assessing;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Records;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Verdicts;
using Microsoft.Extensions.Logging.Abstractions;

namespace DriftWatch.Host.Tests;

/// <summary>
/// Whatever is recorded, voided or changed in the register, in whatever order with the readings: in the end it is as if the
/// register had been so from the beginning.
/// </summary>
public sealed class RecordedWorkTests(ITestOutputHelper output)
{
    [Fact]
    public void A_charge_recorded_long_after_it_ends_its_job_as_if_it_had_been_there()
    {
        using TemporaryFolder folder = new();
        VesselRegister register = SampleReadings.Register();
        VesselReading[] readings = SampleReadings.Of(register, "SH1-A2");
        DateTimeOffset end = readings[^1].Reading.Instant;
        using PlantStore actual = Open(folder, "actual.db");
        LiveRegister live = new(register, actual);
        Plant plant = new(live, actual);
        actual.Commit(readings, []);
        plant.TakeIn();
        plant.Pass(end);
        Job open = Assert.Single(actual.OpenJobs("SH1-A2"));

        WorkRecord charge = Work("SH1-A2", WorkKind.Charge, open.Raised.AddDays(1), 1);
        Assert.Equal(WorkOutcome.Recorded, live.Record(charge));
        plant.TakeIn();
        plant.Pass(end);
        JobNotice closed = actual.LastNotices("SH1-A2").Single(notice => notice.Job.Key == open.Key);
        Assert.Equal((JobState.Closed, (JobEnd?)JobEnd.Charged), (closed.State, closed.End));
        AssertAsFromTheBeginning(folder, register, actual, "SH1-A2", readings, end);

        // It was another vessel: the record is void, and the job stands again.
        live.Void(new WorkVoid(Guid.NewGuid(), charge.Id, "H. Example", "it was SH1-A1", RecordSource.Page, end));
        plant.TakeIn();
        plant.Pass(end);
        Assert.Equal(open.Key, Assert.Single(actual.OpenJobs("SH1-A2")).Key);
        AssertAsFromTheBeginning(folder, register, actual, "SH1-A2", readings, end);
    }

    [Fact]
    public void A_vessel_that_was_never_heard_and_is_found_low_by_hand_has_its_job_told_once_and_ended_by_its_charge()
    {
        using TemporaryFolder folder = new();
        VesselRegister register = SampleReadings.Register();
        using PlantStore store = Open(folder, "actual.db");
        LiveRegister live = new(register, store);
        Plant plant = new(live, store);
        double nominalBar = register.Find("HY1-A1")!.Specification.NominalPrecharge.Bar;
        DateTimeOffset at = new(2026, 3, 1, 8, 0, 0, TimeSpan.Zero);
        live.Record(Work("HY1-A1", WorkKind.Check, at, 1, 0.6 * nominalBar));
        plant.TakeIn();
        plant.Pass(at.AddHours(1));
        Job open = Assert.Single(store.OpenJobs("HY1-A1"));
        Assert.Equal((JobCause.BelowLowerLimit, at), (open.Cause, open.Raised));

        // Neither time nor a restart tells it again.
        plant.Pass(at.AddDays(100));
        plant = new Plant(live, store);
        plant.TakeIn();
        plant.Pass(at.AddDays(200));
        Assert.Equal((open.Key, 1), (Assert.Single(store.LastNotices("HY1-A1")).Job.Key, store.LastNotices("HY1-A1")[0].Job.Revision));
        Assert.Equal(Verdict.BelowLowerLimit, store.LastAssessment("HY1-A1")!.Verdict);

        live.Record(Work("HY1-A1", WorkKind.Charge, at.AddDays(201), 2));
        plant.TakeIn();
        plant.Pass(at.AddDays(202));
        Assert.Equal((JobState.Closed, (JobEnd?)JobEnd.Charged), (store.LastNotices("HY1-A1")[0].State, store.LastNotices("HY1-A1")[0].End));
        Assert.Equal(Verdict.NotKnownYet, store.LastAssessment("HY1-A1")!.Verdict);
    }

    [Theory]
    [InlineData("HY1-A1", 1)]
    [InlineData("HY1-A2", 2)]
    [InlineData("SH1-A1", 3)]
    [InlineData("SH1-A2", 4)]
    public void Any_order_of_readings_records_changes_and_restarts_gives_one_answer(string id, int seed)
    {
        output.WriteLine($"Seed {seed}");
        var random = new Random(seed);
        using TemporaryFolder folder = new();
        VesselRegister register = SampleReadings.Register();
        VesselReading[] readings = SampleReadings.Of(register, id);
        DateTimeOffset first = readings[0].Reading.Instant;
        double nominalBar = register.Find(id)!.Specification.NominalPrecharge.Bar;
        DateTimeOffset end = readings[^1].Reading.Instant;
        PlantStore store = Open(folder, "actual.db");
        try
        {
            VesselRegister file = register;
            LiveRegister live = new(file, store, store);
            Plant plant = new(live, store);
            List<WorkRecord> records = [];
            int taken = 0;
            for (int step = 0; step < 14 || taken < readings.Length; step++)
            {
                switch (random.Next(9))
                {
                    case 0 or 1:
                        int next = step >= 13 ? readings.Length : Math.Min(readings.Length, taken + random.Next(readings.Length / 4));
                        store.Commit(readings[taken..next], []);
                        taken = next;
                        break;
                    case 2 or 3:
                        WorkRecord record = Work(
                            id, random.Next(2) == 0 ? WorkKind.Charge : WorkKind.Check,
                            random.Next(4) == 0 && taken > 0 ? readings[random.Next(taken)].Reading.Instant
                                : random.Next(4) == 0 ? first.AddDays(-60 * random.NextDouble())
                                : first + (random.NextDouble() * (end - first)),
                            step, random.Next(3) switch
                            {
                                0 => null,
                                1 => nominalBar,
                                _ => nominalBar * (0.7 + (0.6 * random.NextDouble())),
                            });
                        live.Record(record);
                        records.Add(record);
                        break;
                    case 4 when records.Count > 0:
                        WorkRecord wrong = records[random.Next(records.Count)];
                        live.Void(new WorkVoid(Guid.NewGuid(), wrong.Id, "H. Example", "wrong", RecordSource.Page, end));
                        break;
                    case 6 or 7 when store.OpenJobs(id) is { Count: > 0 } open:
                        Answer(store, open[random.Next(open.Count)], random, step);
                        live.TakeInWork();
                        break;
                    case 5:
                        file = Changed(file, id, random);
                        live.Replace(file);
                        break;
                    default:
                        // Killed between what was committed and its assessment.
                        store.Dispose();
                        store = Open(folder, "actual.db");
                        live = new LiveRegister(file, store, store);
                        plant = new Plant(live, store);
                        break;
                }

                if (random.Next(3) > 0)
                {
                    plant.TakeIn();
                    if (random.Next(2) == 0)
                    {
                        plant.Pass((taken > 0 ? readings[taken - 1].Reading.Instant : first.AddDays(-70)).AddHours(random.Next(2000)));
                    }
                }
            }

            plant.TakeIn();
            plant.Pass(end);
            AssertAsFromTheBeginning(folder, file, store, id, readings, end, sameMoment: false);
        }
        finally
        {
            store.Dispose();
        }
    }

    [Fact]
    public void A_register_changed_while_nothing_ran_counts_from_the_next_start()
    {
        using TemporaryFolder folder = new();
        VesselRegister register = SampleReadings.Register();
        VesselReading[] readings = SampleReadings.Of(register, "PR1-A1");
        DateTimeOffset end = readings[^1].Reading.Instant;
        using (PlantStore before = Open(folder, "actual.db"))
        {
            before.Commit(readings, []);
            Plant plant = new(register, before);
            plant.TakeIn();
            plant.Pass(end);
            Assert.Empty(before.OpenJobs("PR1-A1"));
        }

        using PlantStore after = Open(folder, "actual.db");
        GaugePressure above = GaugePressure.FromPascals(
            after.LastAssessment("PR1-A1")!.PrechargePa!.Value - register.Find("PR1-A1")!.Specification.Ambient.Pascals + 2e5);
        VesselRegister stricter = With(register, "PR1-A1", vessel => vessel with
        {
            Specification = vessel.Specification with { LowerLimit = above },
        });
        Plant again = new(stricter, after);
        again.TakeIn();
        again.Pass(end);
        Assert.NotEmpty(after.OpenJobs("PR1-A1"));
        AssertAsFromTheBeginning(folder, stricter, after, "PR1-A1", readings, end);
    }

    [Fact]
    public async Task The_sheet_of_a_vessel_has_the_work_on_record()
    {
        using TemporaryFolder folder = new();
        string settings = folder.File("driftwatch.json");
        string file = folder.File("record.html");
        File.Copy(Path.Combine(Repository.SampleStreams, "register.json"), folder.File("register.json"));
        await File.WriteAllTextAsync(settings, """{ "register": "register.json", "dataFolder": "data" }""", TestContext.Current.CancellationToken);
        using (PlantStore store = new(new StoreOptions { Path = folder.File("data", "driftwatch.db") }))
        {
            LiveRegister live = new(SampleReadings.Register(), store);
            Assert.Equal(WorkOutcome.Recorded, live.Record(Work("SH1-A2", WorkKind.Charge, new DateTimeOffset(2026, 5, 4, 3, 2, 1, TimeSpan.Zero), 1, 87.5)));
        }

        (int exitCode, _, string errors) = await ProgramRun.ToEndAsync("sheet", "vessel", "SH1-A2", "--settings", settings, "--output", file);
        Assert.True(exitCode == 0, errors);
        string sheet = await File.ReadAllTextAsync(file, TestContext.Current.CancellationToken);
        Assert.Contains("2026-05-04 03:02", sheet, StringComparison.Ordinal);
        Assert.Contains("87.5 bar", sheet, StringComparison.Ordinal);
    }

    [Fact]
    public void A_step_without_news_writes_nothing()
    {
        using TemporaryFolder folder = new();
        VesselRegister register = SampleReadings.Register();
        VesselReading[] readings = SampleReadings.Of(register, "SH1-A2");
        using PlantStore store = Open(folder, "actual.db");
        store.Commit(readings, []);
        LiveRegister live = new(register, store);
        Plant plant = new(live, store);
        plant.TakeIn();
        plant.Pass(readings[^1].Reading.Instant);
        live.Replace(SampleReadings.Register());
        Assert.Equal(0, plant.TakeIn());
        Assert.Equal(0, new Plant(new LiveRegister(SampleReadings.Register(), store), store).TakeIn());
    }

    private static PlantStore Open(TemporaryFolder folder, string name) => new(new StoreOptions { Path = folder.File(name), Channels = ["files"] });

    private static void AssertAsFromTheBeginning(
        TemporaryFolder folder, VesselRegister file, PlantStore actual, string id, VesselReading[] readings, DateTimeOffset end, bool sameMoment = true)
    {
        using PlantStore expected = Open(folder, $"{Guid.NewGuid():N}.db");
        foreach (WorkEntry entry in actual.WorkOf(id).Where(entry => entry.Counts))
        {
            expected.Record(entry.Record);
        }

        // Answers are to jobs: the other store lends its book of them.

        expected.Commit(readings, []);
        Plant plant = new(new LiveRegister(file, expected, actual), expected);
        plant.TakeIn();
        plant.Pass(end);
        if (sameMoment)
        {
            Answers.AssertSame(expected, actual, id, end);
        }
        else
        {
            // Time had passed further than the readings go: what that brought is as it would be there.
            plant.Pass(end.AddDays(200));
            Plant other = new(new LiveRegister(file, actual, actual), actual);
            other.Pass(end.AddDays(200));
            Answers.AssertSameState(expected, actual, id, end.AddDays(200));
        }
    }

    private static void Answer(PlantStore store, Job job, Random random, int id)
    {
        AnswerKind kind = Enum.GetValues<AnswerKind>()[random.Next(3)];
        bool values = kind == AnswerKind.Done && random.Next(2) == 0;
        var answer = new JobAnswer($"wo-{id}", job.Key, kind, "M. Fitter", job.Raised.AddHours(random.Next(-10, 1500)))
        {
            Remark = kind == AnswerKind.Rejected ? "no crew" : "",
            Work = values ? (AnswerWork)random.Next(2) : null,
            GasPressureBarGauge = values ? 80 : null,
            GasTemperatureCelsius = values ? 20 : null,
        };
        Assert.Equal(AnswerOutcome.Recorded, store.Record(answer, "test", "nobody", answer.At.AddHours(1)));
    }

    private static VesselRegister Changed(VesselRegister register, string id, Random random) => With(register, id, vessel => random.Next(3) switch
    {
        0 => vessel with { Specification = vessel.Specification with { LowerLimit = GaugePressure.FromBar(vessel.Specification.LowerLimit.Bar * 1.01) } },
        1 => vessel with { Specification = vessel.Specification with { LongestSilence = TimeSpan.FromDays(random.Next(10, 60)) } },
        _ => vessel with { RecordedCharges = [.. vessel.RecordedCharges.Append(new PrechargeCheck(new DateTimeOffset(2025, random.Next(4, 13), 1, 12, 0, 0, TimeSpan.Zero))).Distinct().OrderBy(charge => charge.At)] },
    });

    private static VesselRegister With(VesselRegister register, string id, Func<Vessel, Vessel> change) =>
        new(register.Plant, [.. register.Vessels.Select(vessel => vessel.Id == id ? change(vessel) : vessel)], register.TopicTemplate);

    private static WorkRecord Work(string vessel, WorkKind kind, DateTimeOffset at, int id, double? bar = null) => new()
    {
        Id = new Guid(id, 1, 0, [0, 0, 0, 0, 0, 0, 0, 0]),
        VesselId = vessel,
        Kind = kind,
        At = at,
        Who = "M. Fitter",
        GasPressureBarGauge = bar,
        GasTemperatureCelsius = bar is null ? null : 20,
        IsolatedAndReleased = true,
        Source = RecordSource.Page,
        EnteredBy = "m.fitter",
        Received = at.AddYears(2),
    };

    private sealed class Plant(LiveRegister register, PlantStore store)
    {
        private readonly Assessor _assessor = new(register, store, AlarmHandling.Usual, TimeProvider.System, NullLogger<Assessor>.Instance);

        public int TakeIn() => _assessor.TakeInWaiting(CancellationToken.None);

        public void Pass(DateTimeOffset now) => _assessor.LetTimePass(now, CancellationToken.None);
    }
}
