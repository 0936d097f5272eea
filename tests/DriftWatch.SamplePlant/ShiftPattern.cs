namespace DriftWatch.SamplePlant;

/// <summary>The machine's working week; all hours UTC.</summary>
/// <param name="WorkDays">How many days from Monday on are worked, 1 to 7.</param>
/// <param name="StartHour">Hour at which the shift starts, give or take some minutes.</param>
/// <param name="Hours">Length of the working day.</param>
/// <param name="Habit">When the fluid side is bled down.</param>
public sealed record ShiftPattern(int WorkDays, int StartHour, double Hours, ReleaseHabit Habit)
{
    private const double HeldSeepHours = 150;
    private const double LeakyValveSeepHours = 15;
    private const int ServiceMinutesBefore = 60;
    private const int ServiceMinutesAfter = 180;

    /// <summary>The states of the fluid side from <paramref name="start"/> to <paramref name="end"/>, without hole or overlap.</summary>
    /// <param name="start">Midnight UTC.</param>
    /// <param name="end">End of the timetable.</param>
    /// <param name="trappedShare">Share of the releases, 0 to 1, that leave fluid in the vessel.</param>
    /// <param name="neverReleasedFrom">From here on nobody bleeds the fluid side down any more; null if never.</param>
    /// <param name="serviceAt">Instants of work on the vessel: the fluid side is released from an hour before to three hours after.</param>
    /// <param name="random">Source of the irregularity of real days.</param>
    public IReadOnlyList<Stretch> Timetable(
        DateTimeOffset start,
        DateTimeOffset end,
        double trappedShare,
        DateTimeOffset? neverReleasedFrom,
        IReadOnlyList<DateTimeOffset> serviceAt,
        Dice random)
    {
        var stretches = new List<Stretch>();
        int endMinute = (int)(end - start).TotalMinutes;
        int lastReleasableMinute = neverReleasedFrom is { } from ? (int)(from - start).TotalMinutes : int.MaxValue;
        int cursor = 0;

        void Add(int until, FluidState state)
        {
            // Always three draws, so that the numbers of later days do not depend on the state of this one.
            double luck = random.Uniform();
            double level = random.Uniform();
            bool leakyValve = random.Uniform() < 0.4;
            until = Math.Min(until, endMinute);
            if (until <= cursor)
            {
                return;
            }

            if (state == FluidState.Released && cursor >= lastReleasableMinute)
            {
                state = FluidState.Held;
            }

            if (state == FluidState.Released && luck < trappedShare)
            {
                state = FluidState.Trapped;
            }

            Stretch stretch = state switch
            {
                FluidState.Held => new(cursor, until, state, 0.15 + (0.6 * level), HeldSeepHours),
                FluidState.Trapped => new(cursor, until, state, 0.05 + (0.8 * level * level), leakyValve ? LeakyValveSeepHours : double.PositiveInfinity),
                _ => new(cursor, until, state, 0, double.PositiveInfinity),
            };
            stretches.Add(stretch);
            cursor = until;
        }

        for (DateTimeOffset day = start; day < end; day = day.AddDays(1))
        {
            int midnight = (int)(day - start).TotalMinutes;
            int begin = midnight + (StartHour * 60) + random.Whole(-12, 12);
            int stop = midnight + (int)((StartHour + Hours) * 60) + random.Whole(-20, 35);
            int pause = begin + (int)(Hours * 30) + random.Whole(-20, 20);
            int pauseMinutes = random.Whole(25, 60);
            if (Habit == ReleaseHabit.WeeklyService && day.DayOfWeek == DayOfWeek.Saturday)
            {
                Add(midnight + (6 * 60) + random.Whole(0, 20), FluidState.Held);
                Add(midnight + (13 * 60) + random.Whole(0, 60), FluidState.Released);
            }

            if (!IsWorked(day))
            {
                continue;
            }

            Add(begin, RestBefore(day, cursor, midnight));
            if (Habit == ReleaseHabit.Break)
            {
                Add(pause, FluidState.Working);
                Add(pause + pauseMinutes, FluidState.Released);
            }

            Add(stop, FluidState.Working);
        }

        Add(endMinute, RestBefore(end, cursor, endMinute));
        return WithService(stretches, [.. serviceAt.Select(at => (int)(at - start).TotalMinutes)], endMinute);
    }

    private bool IsWorked(DateTimeOffset day)
    {
        bool yearEnd = (day.Month == 12 && day.Day >= 24) || (day.Month == 1 && day.Day == 1);
        int daysSinceMonday = ((int)day.DayOfWeek + 6) % 7;
        return daysSinceMonday < WorkDays && !yearEnd;
    }

    private FluidState RestBefore(DateTimeOffset day, int restStart, int midnight)
    {
        bool freeDayBetween = midnight - restStart > 24 * 60 || !IsWorked(day.AddDays(-1));
        return Habit switch
        {
            ReleaseHabit.EveryStop => FluidState.Released,
            ReleaseHabit.FreeDays => freeDayBetween ? FluidState.Released : FluidState.Held,
            _ => FluidState.Held,
        };
    }

    private static List<Stretch> WithService(List<Stretch> stretches, int[] serviceMinutes, int endMinute)
    {
        foreach (int at in serviceMinutes)
        {
            var released = new Stretch(
                Math.Max(0, at - ServiceMinutesBefore), Math.Min(endMinute, at + ServiceMinutesAfter), FluidState.Released, 0, double.PositiveInfinity);
            stretches =
            [
                .. stretches.Where(s => s.StartMinute < released.StartMinute)
                    .Select(s => s with { EndMinute = Math.Min(s.EndMinute, released.StartMinute) }),
                released,
                .. stretches.Where(s => s.EndMinute > released.EndMinute)
                    .Select(s => s with { StartMinute = Math.Max(s.StartMinute, released.EndMinute) }),
            ];
        }

        // What was released before and after is one rest, not three.
        var merged = new List<Stretch>();
        foreach (Stretch stretch in stretches)
        {
            if (merged.Count > 0 && merged[^1].State == FluidState.Released && stretch.State == FluidState.Released)
            {
                merged[^1] = merged[^1] with { EndMinute = stretch.EndMinute };
            }
            else
            {
                merged.Add(stretch);
            }
        }

        return merged;
    }
}
