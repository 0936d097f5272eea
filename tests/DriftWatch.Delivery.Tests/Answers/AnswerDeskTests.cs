using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;
using DriftWatch.Delivery.Answers;
using DriftWatch.Delivery.Tests.Support;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Records;
using DriftWatch.Storage;
using Json.Schema;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;

namespace DriftWatch.Delivery.Tests.Answers;

/// <summary>Over the real store.</summary>
public sealed class AnswerDeskTests : IDisposable
{
    private static readonly JsonSchema Schema = JsonSchema.FromText(File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "answer.schema.json")));

    private readonly TempFolder _folder = new();
    private readonly FakeTimeProvider _clock = new(new DateTimeOffset(2025, 3, 4, 12, 6, 7, TimeSpan.Zero));
    private readonly PlantStore _store;

    public AnswerDeskTests()
    {
        _store = new PlantStore(new StoreOptions { Path = Path.Combine(_folder.Path, "plant.db") });
        _store.Save(Given.Step(Given.Opened()));
    }

    public void Dispose()
    {
        _store.Dispose();
        _folder.Dispose();
    }

    [Fact]
    public void A_signed_answer_is_recorded_with_who_when_and_the_values_once()
    {
        AnswerDesk desk = Desk(new AnswerOptions { SigningSecret = _folder.Secret(AnswerCase.Secret) });
        AnswerMessage message = AnswerCase.Signed("hook", AnswerCase.Done(), _clock.GetUtcNow());
        Assert.Equal(AnswerResult.Recorded, desk.Take(message).Result);
        _clock.Advance(TimeSpan.FromHours(1));
        Assert.Equal(AnswerResult.Repeated, desk.Take(message).Result);
        RecordedAnswer recorded = Assert.Single(_store.AnswersAfter(0, 10));
        Assert.Equal(new JobAnswer("a-1", Given.Job().Key, AnswerKind.Done, "M. Fitter", new DateTimeOffset(2025, 3, 4, 8, 30, 0, TimeSpan.Zero))
        {
            Work = AnswerWork.Charged,
            GasPressureBarGauge = 90.2,
            GasTemperatureCelsius = 21.5,
            Remark = "cap torqued",
        }, recorded.Answer);
        Assert.Equal(("hook", "signature", _clock.GetUtcNow() - TimeSpan.FromHours(1)), (recorded.Via, recorded.Authority, recorded.Received));
        Assert.Empty(_store.AnswersAfter(recorded.Sequence, 10));

        // The values are work on record, once.
        WorkRecord work = Assert.Single(_store.Work()).Record;
        Assert.Equal(
            (WorkKind.Charge, recorded.Answer.At, 90.2, 21.5, "M. Fitter", "signature", Given.Job().Key),
            (work.Kind, work.At, work.GasPressureBarGauge, work.GasTemperatureCelsius, work.Who, work.EnteredBy, work.JobKey));
        Assert.Equal(Given.Job().VesselId, work.VesselId);
    }

    [Theory]
    [InlineData("taken")]
    [InlineData("done")]
    [InlineData("rejected")]
    public void An_answer_without_values_puts_no_work_on_record(string answer)
    {
        JsonObject document = AnswerCase.Done();
        document["answer"] = answer;
        document.Remove("values");
        Assert.Equal(AnswerResult.Recorded, Desk(new AnswerOptions { SigningSecret = _folder.Secret(AnswerCase.Secret) }).Take(AnswerCase.Signed("hook", document, _clock.GetUtcNow())).Result);
        Assert.Empty(_store.Work());
    }

    [Fact]
    public void An_answer_from_the_future_is_set_aside()
    {
        AnswerDesk desk = Desk(new AnswerOptions { SigningSecret = _folder.Secret(AnswerCase.Secret) });
        JsonObject document = AnswerCase.Done();
        document["at"] = "2025-03-04T12:16:08Z";
        Assert.Equal(AnswerResult.Refused, desk.Take(AnswerCase.Signed("hook", document, _clock.GetUtcNow())).Result);
        document["at"] = "2025-03-04T12:16:07Z";
        Assert.Equal(AnswerResult.Recorded, desk.Take(AnswerCase.Signed("hook", document, _clock.GetUtcNow())).Result);
        Assert.Contains("in the future", Assert.Single(_store.Quarantine()).Kept[0].Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void Nobody_vouching_means_set_aside()
    {
        AnswerDesk desk = Desk(new AnswerOptions { SigningSecret = _folder.Secret(AnswerCase.Secret) });
        AnswerMessage good = AnswerCase.Signed("hook", AnswerCase.Done(), _clock.GetUtcNow());
        AnswerMessage[] forged =
        [
            good with { Signature = null },
            good with { Signature = "v1," + Convert.ToBase64String(new byte[32]) },
            good with { Body = Encoding.UTF8.GetBytes(AnswerCase.Done().ToJsonString().Replace("90.2", "99.2", StringComparison.Ordinal)) },
            good with { Signature = null, BrokerIdentity = "crew" },
            AnswerCase.Signed("hook", AnswerCase.Done(), _clock.GetUtcNow() - TimeSpan.FromMinutes(6)) with { SignatureTolerance = TimeSpan.FromMinutes(5) },
            AnswerCase.Signed("hook", AnswerCase.Done(), _clock.GetUtcNow() + TimeSpan.FromMinutes(6)) with { SignatureTolerance = TimeSpan.FromMinutes(5) },
        ];
        Assert.All(forged, message => Assert.Equal(AnswerResult.NotAuthentic, desk.Take(message).Result));
        Assert.Empty(_store.AnswersAfter(0, 10));
        Assert.Equal(forged.Length, Assert.Single(_store.Quarantine()).Count);

        // A message that waited in a queue is as good as ever: the tolerance is the webhook's.
        Assert.Equal(AnswerResult.Recorded, desk.Take(AnswerCase.Signed("mqtt", AnswerCase.Done(), _clock.GetUtcNow() - TimeSpan.FromDays(9))).Result);
    }

    [Fact]
    public void The_brokers_word_counts_where_it_is_trusted()
    {
        AnswerDesk desk = Desk(new AnswerOptions { TrustBrokerIdentity = true });
        AnswerMessage message = new("amqp", Encoding.UTF8.GetBytes(AnswerCase.Done().ToJsonString()));
        Assert.Equal(AnswerResult.NotAuthentic, desk.Take(message).Result);
        Assert.Equal(AnswerResult.Recorded, desk.Take(message with { BrokerIdentity = "crew" }).Result);
        Assert.Equal("broker user crew", Assert.Single(_store.AnswersAfter(0, 10)).Authority);
    }

    [Theory]
    [InlineData("answer", "\"maybe\"", "answer is 'maybe'")]
    [InlineData("who", "\"\"", "who is missing")]
    [InlineData("at", "\"2025-03-04 08:30\"", "RFC 3339")]
    [InlineData("jobKey", "\"P3-ACC-2/other\"", "key of no job")]
    [InlineData("schemaVersion", "\"2.0\"", "1.x")]
    [InlineData("values", "{\"work\":\"charged\",\"gasPressureBarGauge\":90}", "values.gasTemperatureCelsius")]
    [InlineData("values", "{\"work\":\"charged\",\"gasPressureBarGauge\":-1,\"gasTemperatureCelsius\":20}", "values.gasPressureBarGauge")]
    [InlineData("values", "{\"work\":\"charged\",\"gasPressureBarGauge\":\"90\",\"gasTemperatureCelsius\":20}", "values.gasPressureBarGauge")]
    [InlineData("values", "{\"work\":\"looked\",\"gasPressureBarGauge\":90,\"gasTemperatureCelsius\":20}", "values.work")]
    [InlineData("values", "7", "values must be")]
    public void An_answer_that_cannot_be_used_is_set_aside_with_its_reason(string field, string value, string reason)
    {
        JsonObject answer = AnswerCase.Done();
        answer[field] = JsonNode.Parse(value);
        AnswerReply reply = Take(answer);
        Assert.Equal(AnswerResult.Refused, reply.Result);
        Assert.Contains(reason, reply.Reason, StringComparison.Ordinal);
        Assert.Equal(reply.Reason, Assert.Single(Assert.Single(_store.Quarantine()).Kept).Reason);
        Assert.True(field is "jobKey" || !IsValid(answer), "the schema refuses it too");
    }

    [Fact]
    public void Schema_and_reader_agree_on_what_is_good()
    {
        JsonObject taken = AnswerCase.Done();
        taken["answer"] = "taken";
        taken["id"] = "a-2";
        _ = taken.Remove("values");
        _ = taken.Remove("remark");
        JsonObject rejected = (JsonObject)taken.DeepClone();
        rejected["answer"] = "rejected";
        rejected["id"] = "a-3";
        JsonObject why = (JsonObject)rejected.DeepClone();
        why["remark"] = "vessel is out of use";
        Assert.Equal([true, true, false, true], new[] { AnswerCase.Done(), taken, rejected, why }.Select(IsValid));
        Assert.Equal(
            [AnswerResult.Recorded, AnswerResult.Recorded, AnswerResult.Refused, AnswerResult.Recorded],
            new[] { AnswerCase.Done(), taken, rejected, why }.Select(answer => Take(answer).Result));
    }

    [Fact]
    public void Another_answer_under_a_used_id_is_set_aside()
    {
        Assert.Equal(AnswerResult.Recorded, Take(AnswerCase.Done()).Result);
        JsonObject other = AnswerCase.Done();
        other["who"] = "Somebody else";
        Assert.Contains("a-1", Take(other).Reason, StringComparison.Ordinal);
        Assert.Equal("M. Fitter", Assert.Single(_store.AnswersAfter(0, 10)).Answer.Who);
    }

    [Fact]
    public void Rubbish_is_set_aside()
    {
        AnswerDesk desk = Desk(new AnswerOptions { TrustBrokerIdentity = true });
        foreach (string rubbish in (string[])["", "{", "[]", "null", "\u0000", new string('[', 5000)])
        {
            Assert.Equal(AnswerResult.Refused, desk.Take(new AnswerMessage("amqp", Encoding.UTF8.GetBytes(rubbish)) { BrokerIdentity = "crew" }).Result);
        }
    }

    [Fact]
    public void Without_anybody_to_trust_the_settings_are_refused()
    {
        Assert.StartsWith("answers.signingSecret", Assert.Single(new AnswerOptions().Faults("answers")), StringComparison.Ordinal);
        Assert.StartsWith("answers.signingSecret", Assert.Single(new AnswerOptions { SigningSecret = _folder.Secret("weak") }.Faults("answers")), StringComparison.Ordinal);
    }

    private AnswerDesk Desk(AnswerOptions options) => new(_store, options, _clock, NullLogger<AnswerDesk>.Instance);

    private AnswerReply Take(JsonObject answer) =>
        Desk(new AnswerOptions { SigningSecret = _folder.Secret(AnswerCase.Secret) }).Take(AnswerCase.Signed("hook", answer, _clock.GetUtcNow()));

    private static bool IsValid(JsonNode answer) =>
        Schema.Evaluate(JsonSerializer.SerializeToElement(answer), new EvaluationOptions { RequireFormatValidation = true }).IsValid;
}
