namespace DriftWatch.SamplePlant;

/// <summary>The invented plant: its vessels and what happens to them. All hours UTC.</summary>
public static class Plant
{
    public const string Name = "Quillhaven Metal Works";

    /// <summary>Seed of the sample streams in the repository.</summary>
    public const ulong Seed = 20250301;

    public static DateTimeOffset Start { get; } = At(2025, 3, 1);

    public static DateTimeOffset End { get; } = At(2026, 10, 1);

    private static ShiftPattern TwoShifts { get; } = new(5, 6, 16, ReleaseHabit.EveryStop);

    private static ShiftPattern DayShift { get; } = new(5, 7, 9, ReleaseHabit.EveryStop);

    private static ShiftPattern SixDays { get; } = new(6, 6, 12, ReleaseHabit.EveryStop);

    private static Transducer Range250 { get; } = new(0, 250, 0.2, 0.05, 0.05);

    private static Transducer Range400 { get; } = new(0, 400, 0.3, 0.07, 0.1);

    private static Transducer FluidRange400 { get; } = new(0, 400, 0.5, 0.1, 0.1);

    public static IReadOnlyList<VesselScript> Vessels { get; } =
    [
        new()
        {
            Id = "PR1-A1", Description = "Press 1, main circuit accumulator", Place = "Press hall, power unit 1",
            Kind = "tight",
            Type = VesselType.Bladder, GasVolumeLitres = 50, NominalBarGauge = 100, LowerLimitBarGauge = 90, UpperLimitBarGauge = 108,
            AllowedPercentPerMonth = 1, P1BarGauge = 125, P2BarGauge = 210, AltitudeMetres = 180,
            Climate = Climate.Hall, Shifts = TwoShifts, Logging = new(10), PressureSensor = Range400,
            StartBarGauge = 101.2,
            ExpectedVerdict = Verdict.WithinLimits,
        },
        new()
        {
            Id = "PR1-A2", Description = "Press 1, return cushion accumulator", Place = "Press hall, power unit 1",
            Kind = "trapped fluid",
            Type = VesselType.Bladder, GasVolumeLitres = 32, NominalBarGauge = 110, LowerLimitBarGauge = 99, UpperLimitBarGauge = 119,
            AllowedPercentPerMonth = 1, P1BarGauge = 138, P2BarGauge = 230, AltitudeMetres = 180,
            Climate = Climate.Hall, Shifts = TwoShifts, Logging = new(10), PressureSensor = Range400,
            StartBarGauge = 111, Leaks = [new(At(2025, 3, 1), 0.04)], TrappedShare = 0.15,
            ExpectedVerdict = Verdict.WithinLimits,
        },
        new()
        {
            Id = "PR2-A1", Description = "Press 2, drawing cushion accumulator", Place = "Press hall, power unit 2",
            Kind = "slow leak",
            Type = VesselType.Piston, GasVolumeLitres = 200, NominalBarGauge = 200, LowerLimitBarGauge = 180, UpperLimitBarGauge = 215,
            AllowedBarPerMonth = 0.5, P1BarGauge = 255, P2BarGauge = 350, AltitudeMetres = 180,
            Climate = Climate.Hall, Shifts = DayShift, Logging = new(20), PressureSensor = Range400,
            StartBarGauge = 205, Leaks = [new(At(2025, 3, 1), 1.0)],
            ExpectedVerdict = Verdict.FallingFasterThanAllowed,
        },
        new()
        {
            Id = "PR2-A2", Description = "Press 2, clamping accumulator", Place = "Press hall, power unit 2",
            Kind = "half the allowed leak",
            Type = VesselType.Bladder, GasVolumeLitres = 24.5, NominalBarGauge = 80, LowerLimitBarGauge = 70, UpperLimitBarGauge = 87,
            AllowedPercentPerMonth = 1, P1BarGauge = 102, P2BarGauge = 190, AltitudeMetres = 180,
            Climate = Climate.Hall, Shifts = new(5, 6, 16, ReleaseHabit.FreeDays), Logging = new(15), PressureSensor = Range250,
            StartBarGauge = 84, Leaks = [new(At(2025, 3, 1), 0.405)],
            ExpectedVerdict = Verdict.WithinLimits,
        },
        new()
        {
            Id = "PR3-A1", Description = "Press 3, main circuit accumulator", Place = "Press hall, power unit 3",
            Kind = "blind: never released any more",
            Type = VesselType.Bladder, GasVolumeLitres = 50, NominalBarGauge = 130, LowerLimitBarGauge = 117, UpperLimitBarGauge = 140,
            AllowedPercentPerMonth = 1, P1BarGauge = 165, P2BarGauge = 260, AltitudeMetres = 180,
            Climate = Climate.Hall, Shifts = SixDays, Logging = new(15), PressureSensor = Range400, FluidSensor = FluidRange400,
            StartBarGauge = 131.5, NeverReleasedFrom = At(2026, 8, 3),
            ExpectedVerdict = Verdict.NoWindowTooLong,
        },
        new()
        {
            Id = "PR3-A2", Description = "Press 3, emergency return accumulator", Place = "Press hall, power unit 3",
            Kind = "fluid in the gas side",
            Type = VesselType.Piston, GasVolumeLitres = 100, NominalBarGauge = 180, LowerLimitBarGauge = 168, UpperLimitBarGauge = 192,
            AllowedPercentPerMonth = 1, P1BarGauge = 245, P2BarGauge = 330, AltitudeMetres = 180,
            Climate = Climate.Hall, Shifts = SixDays, Logging = new(20), PressureSensor = Range400,
            StartBarGauge = 180, IngressLitresPerMonth = 0.42,
            ExpectedVerdict = Verdict.AboveUpperLimit,
        },
        new()
        {
            Id = "SH1-A1", Description = "Plate shear, hold-down accumulator", Place = "Cutting bay",
            Kind = "fast leak",
            Type = VesselType.Bladder, GasVolumeLitres = 10, NominalBarGauge = 60, LowerLimitBarGauge = 52, UpperLimitBarGauge = 66,
            AllowedPercentPerMonth = 1, P1BarGauge = 80, P2BarGauge = 150, AltitudeMetres = 195,
            Climate = Climate.OpenHall, Shifts = DayShift, Logging = new(10), PressureSensor = Range250,
            StartBarGauge = 63, Leaks = [new(At(2025, 3, 1), 0.3), new(At(2026, 5, 9, 9), 3.0, LeakLaw.FirstOrder)],
            Recharges = [new(At(2026, 5, 9, 9), 62, OnRecord: true)],
            ExpectedVerdict = Verdict.BelowLowerLimit,
        },
        new()
        {
            Id = "SH1-A2", Description = "Plate shear, blade drive accumulator", Place = "Cutting bay",
            Kind = "burst",
            Type = VesselType.Bladder, GasVolumeLitres = 35, NominalBarGauge = 90, LowerLimitBarGauge = 80, UpperLimitBarGauge = 98,
            AllowedPercentPerMonth = 1, P1BarGauge = 115, P2BarGauge = 200, AltitudeMetres = 195,
            Climate = Climate.OpenHall, Shifts = DayShift, Logging = new(15), PressureSensor = Range250,
            StartBarGauge = 91.5, Leaks = [new(At(2025, 3, 1), 0.06)], BurstAt = At(2026, 7, 14, 10, 23),
            ExpectedVerdict = Verdict.BelowLowerLimit,
        },
        new()
        {
            Id = "HY1-A1", Description = "Forging line, manipulator accumulator", Place = "Forging bay, north",
            Kind = "unrecorded recharge",
            Type = VesselType.Bladder, GasVolumeLitres = 20, NominalBarGauge = 95, LowerLimitBarGauge = 78, UpperLimitBarGauge = 104,
            AllowedPercentPerMonth = 1, P1BarGauge = 122, P2BarGauge = 210, AltitudeMetres = 195,
            Climate = Climate.OpenHall, Shifts = SixDays, Logging = new(15), PressureSensor = Range250,
            StartBarGauge = 100, Leaks = [new(At(2025, 3, 1), 1.65)],
            Recharges = [new(At(2026, 3, 22, 9), 99, OnRecord: false)],
            ExpectedVerdict = Verdict.FallingFasterThanAllowed,
        },
        new()
        {
            Id = "HY1-A2", Description = "Forging line, pilot circuit accumulator", Place = "Forging bay, north",
            Kind = "recorded recharges",
            Type = VesselType.Diaphragm, GasVolumeLitres = 2.8, NominalBarGauge = 70, LowerLimitBarGauge = 60, UpperLimitBarGauge = 77,
            AllowedPercentPerMonth = 1, P1BarGauge = 90, P2BarGauge = 170, AltitudeMetres = 195,
            Climate = Climate.OpenHall, Shifts = new(5, 6, 15, ReleaseHabit.Break), Logging = new(20, FastIntervalMinutes: 2),
            PressureSensor = Range250, FluidSensor = FluidRange400, TemperatureSensorLagMinutes = 2,
            StartBarGauge = 72, Leaks = [new(At(2025, 3, 1), 1.5)],
            Recharges =
            [
                new(At(2025, 8, 9, 8, 30), 72, OnRecord: true),
                new(At(2026, 1, 10, 9), 72.4, OnRecord: true),
                new(At(2026, 6, 6, 8), 72, OnRecord: true),
            ],
            ExpectedVerdict = Verdict.FallingFasterThanAllowed,
        },
        new()
        {
            Id = "HY2-A1", Description = "Ring roller, axial cylinder accumulator", Place = "Forging bay, south",
            Kind = "overcharged",
            Type = VesselType.Bladder, GasVolumeLitres = 6, NominalBarGauge = 100, LowerLimitBarGauge = 90, UpperLimitBarGauge = 110,
            AllowedPercentPerMonth = 1, P1BarGauge = 150, P2BarGauge = 250, AltitudeMetres = 195,
            Climate = Climate.OpenHall, Shifts = TwoShifts, Logging = new(15), PressureSensor = Range400, HasReleasedContact = true,
            StartBarGauge = 99, Leaks = [new(At(2025, 3, 1), 0.1)],
            Recharges = [new(At(2026, 5, 23, 10), 117, OnRecord: true)],
            ExpectedVerdict = Verdict.AboveUpperLimit,
        },
        new()
        {
            Id = "YD1-A1", Description = "Scrap baler, ram accumulator", Place = "Yard, out of doors",
            Kind = "tight, out of doors",
            Type = VesselType.Piston, GasVolumeLitres = 120, NominalBarGauge = 160, LowerLimitBarGauge = 145, UpperLimitBarGauge = 172,
            AllowedPercentPerMonth = 1, P1BarGauge = 215, P2BarGauge = 290, AltitudeMetres = 420, StatesBarometer = true,
            Climate = Climate.Outdoors, Shifts = new(6, 7, 10, ReleaseHabit.EveryStop), Logging = new(15),
            PressureSensor = Range400, AbsolutePressureSensor = true, TemperatureSensorLagMinutes = 5,
            StartBarGauge = 161,
            ExpectedVerdict = Verdict.WithinLimits,
        },
        new()
        {
            Id = "YD1-A2", Description = "Scrap baler, door accumulator", Place = "Yard, under the roof",
            Kind = "stuck temperature",
            Type = VesselType.Piston, GasVolumeLitres = 80, NominalBarGauge = 150, LowerLimitBarGauge = 135, UpperLimitBarGauge = 162,
            AllowedPercentPerMonth = 1, P1BarGauge = 200, P2BarGauge = 280, AltitudeMetres = 420,
            Climate = Climate.Outdoors, Shifts = new(6, 7, 10, ReleaseHabit.EveryStop), Logging = new(20), PressureSensor = Range400,
            StartBarGauge = 151, TemperatureStuckFrom = At(2026, 6, 20, 4),
            ExpectedVerdict = Verdict.NoWindowTooLong,
        },
        new()
        {
            Id = "EM1-A1", Description = "Hill conveyor, safety brake accumulator", Place = "Ridge station",
            Kind = "gap",
            Type = VesselType.Bladder, GasVolumeLitres = 13, NominalBarGauge = 120, LowerLimitBarGauge = 108, UpperLimitBarGauge = 130,
            AllowedPercentPerMonth = 1, P1BarGauge = 155, P2BarGauge = 220, AltitudeMetres = 1450,
            Climate = Climate.OpenHall, Shifts = new(1, 8, 1.5, ReleaseHabit.EveryStop), Logging = new(20), PressureSensor = Range250,
            StartBarGauge = 121, Leaks = [new(At(2025, 3, 1), 0.05)], Gap = new(At(2025, 11, 5, 13), At(2026, 1, 7, 9)),
            ExpectedVerdict = Verdict.WithinLimits,
        },
        new()
        {
            Id = "DC1-A1", Description = "Die casting cell, gate accumulator", Place = "Casting hall, cell 1",
            Kind = "new vessel",
            Type = VesselType.Diaphragm, GasVolumeLitres = 1.4, NominalBarGauge = 35, LowerLimitBarGauge = 30, UpperLimitBarGauge = 40,
            AllowedPercentPerMonth = 1, P1BarGauge = 48, P2BarGauge = 110, AltitudeMetres = 180,
            Climate = Climate.Hall, Shifts = new(5, 6, 16, ReleaseHabit.WeeklyService), Logging = new(5),
            PressureSensor = Range250, HasReleasedContact = true,
            Start = At(2026, 9, 14), StartBarGauge = 35.4,
            ExpectedVerdict = Verdict.NotKnownYet,
        },
        new()
        {
            Id = "DC1-A2", Description = "Die casting cell, ladle accumulator", Place = "Casting hall, cell 1",
            Kind = "tight, delivered late",
            Type = VesselType.Diaphragm, GasVolumeLitres = 0.7, NominalBarGauge = 90, LowerLimitBarGauge = 81, UpperLimitBarGauge = 98,
            AllowedPercentPerMonth = 1, P1BarGauge = 115, P2BarGauge = 200, AltitudeMetres = 180,
            Climate = Climate.Hall, Shifts = TwoShifts, Logging = new(10, BufferDays: 3), PressureSensor = Range250,
            TemperatureSensorLagMinutes = 2,
            StartBarGauge = 91,
            ExpectedVerdict = Verdict.WithinLimits,
        },
    ];

    private static DateTimeOffset At(int year, int month, int day, int hour = 0, int minute = 0)
    {
        return new DateTimeOffset(year, month, day, hour, minute, 0, TimeSpan.Zero);
    }
}
