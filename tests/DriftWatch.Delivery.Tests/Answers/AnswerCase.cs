using System.Globalization;
using System.Text;
using System.Text.Json.Nodes;
using DriftWatch.Delivery.Answers;
using DriftWatch.Delivery.Security;
using DriftWatch.Delivery.Tests.Support;

namespace DriftWatch.Delivery.Tests.Answers;

/// <summary>Answers of an invented crew.</summary>
internal static class AnswerCase
{
    public const string Secret = "whsec_MDEyMzQ1Njc4OTAxMjM0NTY3ODkwMTIzNDU2Nzg5MDE=";

    public static JsonObject Done() => new()
    {
        ["schemaVersion"] = "1.0",
        ["id"] = "a-1",
        ["jobKey"] = Given.Job().Key,
        ["answer"] = "done",
        ["who"] = "M. Fitter",
        ["at"] = "2025-03-04T09:30:00+01:00",
        ["remark"] = "cap torqued",
        ["values"] = new JsonObject { ["work"] = "charged", ["gasPressureBarGauge"] = 90.2, ["gasTemperatureCelsius"] = 21.5 },
    };

    public static AnswerMessage Signed(string via, JsonObject answer, DateTimeOffset at)
    {
        byte[] body = Encoding.UTF8.GetBytes(answer.ToJsonString());
        return new AnswerMessage(via, body)
        {
            SignatureId = "msg-1",
            SignatureTimestamp = at.ToUnixTimeSeconds().ToString(CultureInfo.InvariantCulture),
            Signature = WebhookSignature.Sign(WebhookSignature.KeyOf(Secret), "msg-1", at, body),
        };
    }
}
