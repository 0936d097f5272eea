using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Records;

namespace DriftWatch.Plant.Register;

/// <summary>
/// The register as it is now: the specifications of the register file with the work and the answers on record. <see cref="Current"/> is
/// swapped whole, so that whoever reads it sees one state; a vessel that is as before is the same object in the next one.
/// All members may be called from several threads.
/// </summary>
public sealed class LiveRegister
{
    private const int AnswersAtOnce = 1000;

    private readonly IWorkBook? _book;
    private readonly IAnswerBook? _answerBook;
    private readonly Dictionary<string, List<JobAnswer>> _answers = new(StringComparer.Ordinal);
    private readonly Lock _lock = new();
    private VesselRegister _file;
    private ILookup<string, WorkEntry> _work = Array.Empty<WorkEntry>().ToLookup(entry => entry.Record.VesselId, StringComparer.Ordinal);
    private long _newestWork;
    private long _newestAnswer;
    private volatile VesselRegister _current;

    /// <summary>A register with the work of a book and the answers of another; without them it stays as the file has it.</summary>
    public LiveRegister(VesselRegister file, IWorkBook? book = null, IAnswerBook? answers = null)
    {
        _answerBook = answers;
        _file = file;
        _current = file;
        _book = book;
        TakeInWork();
    }

    /// <summary>Raised after each change, on the thread that made it. What counts is <see cref="Current"/>: two changes at once may come in any order.</summary>
    public event Action<RegisterChange>? Changed;

    /// <summary>The register now.</summary>
    public VesselRegister Current => _current;

    /// <summary>A register that nothing changes.</summary>
    public static implicit operator LiveRegister(VesselRegister register) => FromVesselRegister(register);

    /// <inheritdoc cref="op_Implicit(VesselRegister)"/>
    public static LiveRegister FromVesselRegister(VesselRegister register) => new(register);

    /// <summary>Takes the specifications from another state of the file.</summary>
    public void Replace(VesselRegister file)
    {
        RegisterChange? change;
        lock (_lock)
        {
            _file = file;
            change = SwapNeedsLock();
        }

        Tell(change);
    }

    /// <summary>Records work and takes it in; see <see cref="IWorkBook.Record"/>. The vessel must be in the register.</summary>
    /// <exception cref="ArgumentException">The record has faults, or names no vessel of the register.</exception>
    /// <exception cref="InvalidOperationException">There is no book.</exception>
    public WorkOutcome Record(WorkRecord record)
    {
        if (Current.Find(record.VesselId) is null)
        {
            throw new ArgumentException($"vesselId '{record.VesselId}' is no vessel of the register.", nameof(record));
        }

        WorkOutcome outcome = Book.Record(record);
        TakeInWork();
        return outcome;
    }

    /// <summary>Makes a record void; see <see cref="IWorkBook.Void"/>.</summary>
    /// <exception cref="ArgumentException">It has faults; all are named.</exception>
    /// <exception cref="InvalidOperationException">There is no book.</exception>
    public WorkOutcome Void(WorkVoid voiding)
    {
        WorkOutcome outcome = Book.Void(voiding);
        TakeInWork();
        return outcome;
    }

    /// <summary>Takes in what was written into the books since, by whomever. Costs one small query when that is nothing.</summary>
    public void TakeInWork()
    {
        RegisterChange? change;
        lock (_lock)
        {
            // Answers first: the work that one of them puts on record is in the book when the answer is.
            bool news = TakeInAnswersNeedsLock();
            if (_book?.NewestWork() is { } newest && newest != _newestWork)
            {
                _work = _book.Work().ToLookup(entry => entry.Record.VesselId, StringComparer.Ordinal);
                _newestWork = newest;
                news = true;
            }

            if (!news)
            {
                return;
            }

            change = SwapNeedsLock();
        }

        Tell(change);
    }

    private bool TakeInAnswersNeedsLock()
    {
        bool news = false;
        while (_answerBook?.AnswersAfter(_newestAnswer, AnswersAtOnce) is { Count: > 0 } some)
        {
            foreach (RecordedAnswer recorded in some)
            {
                string vessel = recorded.Answer.VesselId;
                (_answers.TryGetValue(vessel, out List<JobAnswer>? answers) ? answers : _answers[vessel] = []).Add(recorded.Answer);
            }

            _newestAnswer = some[^1].Sequence;
            news = true;
        }

        return news;
    }

    private IWorkBook Book => _book ?? throw new InvalidOperationException("This register has no book of work: nothing can be recorded.");

    private RegisterChange? SwapNeedsLock()
    {
        VesselRegister before = _current;
        List<string> changed = [];
        Vessel[] vessels = new Vessel[_file.Vessels.Count];
        for (int i = 0; i < vessels.Length; i++)
        {
            Vessel now = VesselRecords.WithWork(_file.Vessels[i], _work[_file.Vessels[i].Id]);
            now = VesselRecords.WithAnswers(now, _answers.GetValueOrDefault(now.Id) ?? []);
            Vessel? was = before.Find(now.Id);
            bool same = was is not null && VesselRecords.AreSame(was, now);
            vessels[i] = same ? was! : now;
            if (!same)
            {
                changed.Add(now.Id);
            }
        }

        var after = new VesselRegister(_file.Plant, vessels, _file.TopicTemplate);
        changed.AddRange(before.Vessels.Where(vessel => after.Find(vessel.Id) is null).Select(vessel => vessel.Id));
        _current = after;
        bool plain = changed.Count == 0 && before.Plant == after.Plant && before.TopicTemplate?.Text == after.TopicTemplate?.Text
            && before.Vessels.SequenceEqual(after.Vessels);
        return plain ? null : new RegisterChange(before, after, changed);
    }

    private void Tell(RegisterChange? change)
    {
        if (change is not null)
        {
            Changed?.Invoke(change);
        }
    }
}
