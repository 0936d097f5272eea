using CsCheck;
using DriftWatch.Fuzz;

namespace DriftWatch.Acquisition.Tests;

/// <summary>A short run of the nightly command (tests/DriftWatch.Fuzz): no payload and no file breaks a rule. Seeds are printed on failure.</summary>
public class FuzzTests
{
    [Fact]
    public void Every_sample_of_the_corpus_breaks_no_rule_on_any_topic()
    {
        Assert.NotEmpty(Corpus.LoggerFiles());
        DecoderCheck check = new();
        Assert.All(Corpus.Payloads(), payload => Assert.All(FuzzRegister.Topics, topic => check.Run(new PayloadCase(topic, payload))));
    }

    [Fact]
    public void Spoilt_payloads_break_no_rule()
    {
        DecoderCheck check = new();
        PayloadCase.Of(Corpus.Payloads()).Sample(check.Run, iter: 20_000, print: one => $"{one.Topic} {Convert.ToHexString(one.Payload)}");

        // Were all turned away at the first byte, nothing would have been tried.
        Assert.InRange(check.WithReadings, 100, 20_000);
        Assert.InRange(check.WithReasons, 100, 20_000);
    }

    [Fact]
    public void Spoilt_logger_files_break_no_rule()
    {
        using LoggerCheck check = new();
        LoggerCheck.Cases(Corpus.LoggerFiles()).Sample(check.Run, iter: 500, threads: 1, print: Convert.ToHexString);
    }
}
