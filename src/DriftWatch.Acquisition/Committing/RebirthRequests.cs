using DriftWatch.Acquisition.Payloads;
using DriftWatch.Acquisition.Sparkplug;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Acquisition.Committing;

/// <summary>
/// Asks Sparkplug nodes for their birth certificates. Messages that waited at a broker come before the connection counts as
/// made, and a node that has sent all of them may be silent for long: one that could not be asked is asked again, without
/// waiting for another message of it.
/// </summary>
/// <param name="decoder">Knows whether a birth certificate is still awaited.</param>
/// <param name="pace">Waits between attempts.</param>
/// <param name="clock">Clock of the commands' time stamps.</param>
/// <param name="logger">Where it is told.</param>
/// <param name="ask">Publishes a command to a source: topic, payload. Throws where it cannot.</param>
internal sealed class RebirthRequests(
    ReadingDecoder decoder, CommitPace pace, TimeProvider clock, ILogger logger, Func<string, byte[], Task> ask)
{
    /// <summary>Topics of commands to send, and whether that one could not be sent is no news.</summary>
    private readonly Dictionary<string, bool> _unasked = new(StringComparer.Ordinal);
    private TimeSpan _wait = pace.ShortestRetry;

    /// <summary>After what time to ask again; null where all have been asked.</summary>
    public TimeSpan? AskAgainAfter => _unasked.Count > 0 ? _wait : null;

    /// <summary>
    /// Has the nodes asked soon for which messages wait since before the start: the command may have been lost with the run before, or
    /// never have left it, and those messages do not come again to have it asked.
    /// </summary>
    public void TakeUp()
    {
        foreach (string topic in decoder.AwaitedBirths())
        {
            _unasked[topic] = true; // At the start there is no connection yet.
        }
    }

    /// <summary>Has the node of a topic of commands asked with the next <see cref="AskAsync"/>.</summary>
    public void Want(string topic) => _unasked.TryAdd(topic, false);

    /// <summary>Asks the nodes that are to be asked, and those that could not be asked before, where still needed.</summary>
    public async Task AskAsync()
    {
        if (_unasked.Count == 0)
        {
            return;
        }

        IReadOnlySet<string> awaited = decoder.AwaitedBirths();
        foreach ((string topic, bool noNews) in _unasked.ToArray())
        {
            try
            {
                if (awaited.Contains(topic))
                {
                    await ask(topic, RebirthCommand.Payload(clock.GetUtcNow()));
                    logger.RebirthAsked(topic);
                }

                _unasked.Remove(topic);
            }
            catch (Exception exception) when (exception is not OutOfMemoryException)
            {
                _unasked[topic] = true;
                if (!noNews)
                {
                    logger.RebirthNotAsked(topic, exception.Message);
                }
            }
        }

        _wait = _unasked.Count > 0 ? pace.Longer(_wait) : pace.ShortestRetry;
    }
}
