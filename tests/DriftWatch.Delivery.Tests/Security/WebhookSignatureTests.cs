using System.Text;
using DriftWatch.Delivery.Security;

namespace DriftWatch.Delivery.Tests.Security;

public sealed class WebhookSignatureTests
{
    // The example of the Standard Webhooks libraries, from memory; that it is right shows in openssl agreeing (see below).
    private const string Secret = "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw";
    private const string Id = "msg_p5jXN8AQM9LWM0D4loKWxJek";
    private const long Timestamp = 1614265330;
    private const string Body = """{"test": 2432232314}""";
    private const string Signature = "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE=";

    /// <summary>
    /// Second route: printf '%s' 'msg_p5jXN8AQM9LWM0D4loKWxJek.1614265330.{"test": 2432232314}' |
    /// openssl dgst -sha256 -mac HMAC -macopt hexkey:$(printf %s MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw | base64 -d | xxd -p -c 99) -binary | base64
    /// </summary>
    [Fact]
    public void Signs_as_the_scheme_says()
    {
        Assert.Equal(Signature, WebhookSignature.Sign(WebhookSignature.KeyOf(Secret), Id, DateTimeOffset.FromUnixTimeSeconds(Timestamp), Encoding.UTF8.GetBytes(Body)));
        Assert.True(Verifies(Secret, Id, "1614265330", Signature, Body));
        Assert.True(Verifies(Secret, Id, "1614265330", "v1,AAAA v1a,xyz " + Signature, Body));
    }

    [Theory]
    [InlineData("msg_other", "1614265330", Signature, Body)]
    [InlineData(Id, "1614265331", Signature, Body)]
    [InlineData(Id, "1614265330", Signature, """{"test": 2432232315}""")]
    [InlineData(Id, "1614265330", "v2,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE=", Body)]
    [InlineData(Id, "1614265330", "g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE=", Body)]
    [InlineData(Id, "1614265330", "v1,", Body)]
    [InlineData(Id, "1614265330", "v1,not base64", Body)]
    [InlineData(Id, "1614265330", "", Body)]
    public void Whatever_differs_does_not_verify(string id, string timestamp, string signature, string body) =>
        Assert.False(Verifies(Secret, id, timestamp, signature, body));

    [Fact]
    public void Another_secret_does_not_verify() =>
        Assert.False(Verifies("whsec_" + Convert.ToBase64String(new byte[24]), Id, "1614265330", Signature, Body));

    [Theory]
    [InlineData("hunter2-hunter2-hunter2")]
    [InlineData("whsec_c2hvcnQ=")]
    [InlineData("whsec_!!!")]
    public void A_weak_or_foreign_secret_is_refused_without_being_shown(string secret)
    {
        FormatException refused = Assert.Throws<FormatException>(() => WebhookSignature.KeyOf(secret));
        Assert.DoesNotContain(secret, refused.Message, StringComparison.Ordinal);
        Assert.Contains("openssl rand", refused.Message, StringComparison.Ordinal);
    }

    private static bool Verifies(string secret, string id, string timestamp, string signature, string body) =>
        WebhookSignature.Verifies(WebhookSignature.KeyOf(secret), id, timestamp, signature, Encoding.UTF8.GetBytes(body));
}
