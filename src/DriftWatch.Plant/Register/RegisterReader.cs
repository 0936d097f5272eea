using System.Text.Json;
using System.Text.RegularExpressions;
using DriftWatch.Gas.Quantities;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;
using static DriftWatch.Plant.Register.RegisterObject;
using Range = DriftWatch.Plant.Register.RegisterObject.Range;

namespace DriftWatch.Plant.Register;

/// <summary>
/// Reads the vessel register: JSON in trade units to typed quantities. All defects of a file are told at once, each with its
/// place and how to mend it; a file with any defect gives no register. What JSON Schema can say of the file is published in
/// <see cref="RegisterSchema"/>; the reader says the same and more.
/// </summary>
public static partial class RegisterReader
{
    /// <summary>Most characters of a vessel's description, and of its place.</summary>
    public const int LongestText = 200;

    private const double PascalsPerBar = 1e5;

    // The equation of state holds to 700 bar absolute; a little is left for the way up in temperature.
    private static readonly Range PrechargeBar = Range.Above(0, 650, "bar gauge");
    private static readonly Range WorkingBar = Range.Above(0, 1000, "bar gauge");
    private static readonly Range ReferenceCelsius = Range.From(-20, 60, "degrees C");
    private static readonly Range SensorBar = Range.From(-1.1, 2000, "bar");
    private static readonly Range SensorCelsius = Range.From(-200, 1000, "degrees C");

    private static readonly JsonDocumentOptions Options =
        new() { CommentHandling = JsonCommentHandling.Skip, AllowTrailingCommas = true, MaxDepth = 16 };

    /// <summary>Reads the text of a register file.</summary>
    /// <param name="json">JSON; comments and trailing commas are passed over.</param>
    public static RegisterOutcome Read(string json)
    {
        ArgumentNullException.ThrowIfNull(json);
        JsonDocument document;
        try
        {
            document = JsonDocument.Parse(json.TrimStart('\uFEFF'), Options);
        }
        catch (JsonException exception)
        {
            return new RegisterOutcome([NotJson(exception)]);
        }

        using (document)
        {
            return Read(document.RootElement);
        }
    }

    private static RegisterDefect NotJson(JsonException exception)
    {
        string place = Invariant($"line {exception.LineNumber + 1}, column {exception.BytePositionInLine + 1}");
        string problem = exception.Message;
        int tail = problem.IndexOf(" LineNumber:", StringComparison.Ordinal);
        return new RegisterDefect(
            place,
            null,
            $"The text is no JSON: {(tail < 0 ? problem : problem[..tail])}",
            "Look at this place and just before it for a missing comma, quote or bracket.");
    }

    private static RegisterOutcome Read(JsonElement root)
    {
        List<RegisterDefect> defects = [];
        RegisterObject? file = Open(root, "", null, defects);
        if (file is null)
        {
            return new RegisterOutcome(defects);
        }

        file.OptionalText("$schema");
        string? plant = file.RequiredText("plant", "\"Example Works\"");
        SourceReader sourceReader = new();
        sourceReader.ReadTemplate(file);
        PlantCalendar calendar = RegisterCalendar.Read(file);
        List<(int Index, Vessel Vessel)> vessels = [];
        IReadOnlyList<(string Name, JsonElement Element)>? entries = file.Array("vessels", required: true, "[ { \"id\": \"PU1-A1\", ... } ]");
        if (entries is { Count: 0 })
        {
            file.Note("vessels", "The list is empty.", "Add at least one vessel.");
        }

        Dictionary<string, string> placeOfId = new(StringComparer.OrdinalIgnoreCase);
        for (int index = 0; index < (entries?.Count ?? 0); index++)
        {
            (string name, JsonElement element) = entries![index];
            if (Open(element, name, null, defects) is not { } entry)
            {
                continue;
            }

            string? id = ReadId(entry, placeOfId);
            IReadOnlyList<PrechargeCheck> checks = RegisterChecks.Read(entry);
            if (ReadVessel(entry, id, sourceReader) is { } vessel)
            {
                vessels.Add((index, vessel with { Calendar = calendar, RecordedChecks = checks }));
            }

            entry.Close();
        }

        sourceReader.CheckSharedTopics(defects);
        file.Close();
        return defects.Count > 0
            ? new RegisterOutcome(defects)
            : new RegisterOutcome(new VesselRegister(plant!, [.. vessels.Select(entry => entry.Vessel)], sourceReader.Template));
    }

    private static string? ReadId(RegisterObject entry, Dictionary<string, string> placeOfId)
    {
        string? id = entry.RequiredText("id", "\"PU1-A1\"");
        if (id is null)
        {
            return null;
        }

        if (!IdPattern().IsMatch(id))
        {
            entry.Note(
                "id",
                $"'{id}' cannot be an id: it names files and topics.",
                "Use 1 to 64 letters (a to z), digits, '-', '_' or '.', a letter or digit first and last.");
            return null;
        }

        entry.VesselId = id;
        if (!placeOfId.TryAdd(id, entry.PlaceOf("id")))
        {
            entry.Note(
                "id",
                $"The id '{id}' is taken by {placeOfId[id]} (capital and small letters count as the same).",
                "Give each vessel its own id.");
        }

        return id;
    }

    /// <summary>Words that go into every job: as long as a line of a job can be, so that what is kept of a vessel stays small.</summary>
    private static string? ReadWords(RegisterObject entry, string name, string example)
    {
        string? words = entry.RequiredText(name, example);
        if (words?.Length > LongestText)
        {
            entry.Note(name, $"The text has {words.Length} characters.", $"Use at most {LongestText}.");
            return null;
        }

        return words;
    }

    private static Vessel? ReadVessel(RegisterObject entry, string? id, SourceReader sourceReader)
    {
        string? description = ReadWords(entry, "description", "\"Main circuit accumulator 1\"");
        string? place = ReadWords(entry, "place", "\"Press hall, power unit 1\"");
        VesselType? type = ReadType(entry);
        double? volume = entry.RequiredNumber("gasVolumeLitres", "50", Range.Above(0, 100_000, "litres"));
        PrechargeFields? precharge = ReadPrecharge(entry);
        AbsolutePressure? ambient = ReadAmbient(entry);
        double? loss = ReadAllowedLoss(entry, precharge?.Nominal, ambient);
        (double? P1, double? P2) working = ReadWorkingPressure(entry, precharge?.Nominal);
        double? silence = entry.OptionalNumber("longestSilenceDays", Range.Above(0, 3650, "days"));
        double? falseAlarm = entry.OptionalNumber("falseAlarmProbability", Range.Between(0, 0.5, ""));
        IReadOnlyList<DateTimeOffset> charges = RegisterInstants.Read(entry, "charges", "charge", "2025-06-03T07:30:00Z");
        IReadOnlyList<DateTimeOffset> changes = RegisterInstants.Read(entry, "transducerChanges", "change of a transducer", "2025-06-03T07:30:00Z");

        RegisterObject? sensors = entry.RequiredObject("sensors", "{ \"gasPressure\": { ... }, \"gasTemperature\": { ... } }");
        if (sensors is null)
        {
            return null;
        }

        List<SignalSource> sources = [];
        void AddSource(RegisterObject sensor, string name, Signal signal, SourceQuantity? quantity)
        {
            if (sourceReader.Read(sensor, id, signal, quantity, sensors.PlaceOf(name)) is { } source)
            {
                sources.Add(source);
            }
        }

        PressureSensor? gasPressure = null;
        if (sensors.RequiredObject("gasPressure", "{ \"kind\": \"gauge\", \"rangeBar\": [0, 400], ... }") is { } gasPressureObject)
        {
            gasPressure = ReadPressureSensor(gasPressureObject);
            if (gasPressure is not null && ambient is not null)
            {
                CheckHolds(gasPressureObject, gasPressure, ambient.Value, precharge, working.P2);
            }

            AddSource(gasPressureObject, "gasPressure", Signal.GasPressure, SourceQuantity.Pressure);
            gasPressureObject.Close();
        }

        TemperatureSensor? gasTemperature = null;
        if (sensors.RequiredObject("gasTemperature", "{ \"rangeCelsius\": [-40, 125], ... }") is { } gasTemperatureObject)
        {
            gasTemperature = ReadTemperatureSensor(gasTemperatureObject);
            AddSource(gasTemperatureObject, "gasTemperature", Signal.GasTemperature, SourceQuantity.Temperature);
            gasTemperatureObject.Close();
        }

        PressureSensor? fluidPressure = null;
        if (sensors.OptionalObject("fluidPressure") is { } fluidPressureObject)
        {
            fluidPressure = ReadPressureSensor(fluidPressureObject);
            if (fluidPressure is not null && ambient is not null)
            {
                CheckHolds(fluidPressureObject, fluidPressure, ambient.Value, null, working.P2);
            }

            AddSource(fluidPressureObject, "fluidPressure", Signal.FluidPressure, SourceQuantity.Pressure);
            fluidPressureObject.Close();
        }

        RegisterObject? contact = sensors.OptionalObject("depressurised");
        if (contact is not null)
        {
            AddSource(contact, "depressurised", Signal.Depressurised, null);
            contact.Close();
        }

        sensors.Close();
        TimeSpan Lateness(Signal signal) => sources.FirstOrDefault(source => source.Signal == signal)?.ArrivalUncertainty ?? TimeSpan.Zero;
        if (id is null || description is null || place is null || type is null || volume is null || precharge is null
            || ambient is null || loss is null || gasPressure is null || gasTemperature is null)
        {
            return null;
        }

        return new Vessel(
            id,
            description,
            place,
            new VesselSpecification
            {
                Type = type.Value,
                GasVolume = GasVolume.FromLitres(volume.Value),
                ReferenceTemperature = GasTemperature.FromDegreesCelsius(precharge.ReferenceCelsius),
                NominalPrecharge = GaugePressure.FromBar(precharge.Nominal),
                LowerLimit = GaugePressure.FromBar(precharge.Lower),
                UpperLimit = GaugePressure.FromBar(precharge.Upper),
                AllowedLossPaPerSecond = loss.Value,
                LowestWorkingPressure = working.P1 is { } p1 ? GaugePressure.FromBar(p1) : null,
                HighestWorkingPressure = working.P2 is { } p2 ? GaugePressure.FromBar(p2) : null,
                Ambient = ambient.Value,
                GasPressureSensor = gasPressure,
                GasTemperatureSensor = gasTemperature,
                PressureLateness = Lateness(Signal.GasPressure),
                TemperatureLateness = Lateness(Signal.GasTemperature),
                FluidPressureSensor = fluidPressure,
                HasDepressurisedContact = contact is not null,
                LongestSilence = TimeSpan.FromDays(silence ?? 30),
                FalseAlarmProbability = falseAlarm ?? 0.01,
            },
            sources,
            VesselRecords.OneOfAMoment(charges.Select(at => new PrechargeCheck(at))))
        {
            TransducerChanges = changes,
        };
    }

    private static VesselType? ReadType(RegisterObject entry)
    {
        string? type = entry.RequiredText("type", "\"bladder\"");
        switch (type)
        {
            case "bladder":
                return VesselType.Bladder;
            case "piston":
                return VesselType.Piston;
            case "diaphragm":
                return VesselType.Diaphragm;
            case null:
                return null;
            default:
                entry.Note("type", $"'{type}' is no type of vessel known here.", "Write bladder, piston or diaphragm.");
                return null;
        }
    }

    private static PrechargeFields? ReadPrecharge(RegisterObject entry)
    {
        const string Example = "{ \"nominalBarGauge\": 100, \"referenceTemperatureCelsius\": 20, \"lowerLimitBarGauge\": 90, \"upperLimitBarGauge\": 108 }";
        if (entry.RequiredObject("precharge", Example) is not { } precharge)
        {
            return null;
        }

        double? nominal = precharge.RequiredNumber("nominalBarGauge", "100", PrechargeBar);
        double? reference = precharge.RequiredNumber("referenceTemperatureCelsius", "20", ReferenceCelsius);
        double? lower = precharge.RequiredNumber("lowerLimitBarGauge", "90", PrechargeBar);
        double? upper = precharge.RequiredNumber("upperLimitBarGauge", "108", PrechargeBar);
        precharge.Close();
        bool ordered = true;
        if (lower >= nominal)
        {
            precharge.Note(
                "lowerLimitBarGauge", Invariant($"The lower limit {lower} bar is not below the nominal {nominal} bar."), "Set it below the nominal.");
            ordered = false;
        }

        if (upper <= nominal)
        {
            precharge.Note(
                "upperLimitBarGauge", Invariant($"The upper limit {upper} bar is not above the nominal {nominal} bar."), "Set it above the nominal.");
            ordered = false;
        }

        return ordered && nominal is not null && reference is not null && lower is not null && upper is not null
            ? new PrechargeFields(nominal.Value, reference.Value, lower.Value, upper.Value)
            : null;
    }

    /// <summary>Allowed loss in Pa/s.</summary>
    private static double? ReadAllowedLoss(RegisterObject entry, double? nominalBarGauge, AbsolutePressure? ambient)
    {
        if (entry.RequiredObject("allowedLoss", "{ \"barPerMonth\": 1.0 }") is not { } loss)
        {
            return null;
        }

        double? bar = loss.OptionalNumber("barPerMonth", Range.Above(0, 650, "bar a month"));
        double? percent = loss.OptionalNumber("percentPerMonth", Range.Above(0, 100, "% a month"));
        bool hasBar = loss.Has("barPerMonth");
        bool hasPercent = loss.Has("percentPerMonth");
        loss.Close();
        if (hasBar == hasPercent)
        {
            entry.Note(
                "allowedLoss",
                hasBar ? "The allowed loss is given twice, in bar and in percent." : "The allowed loss has no figure.",
                "Give exactly one of barPerMonth and percentPerMonth.");
            return null;
        }

        if (bar is not null)
        {
            return bar.Value * PascalsPerBar / LossRate.SecondsPerMonth;
        }

        // A share of the gas: of the absolute pressure, not of what a gauge shows.
        return percent is not null && nominalBarGauge is not null && ambient is not null
            ? percent.Value / 100 * GaugePressure.FromBar(nominalBarGauge.Value).ToAbsolute(ambient.Value).Pascals / LossRate.SecondsPerMonth
            : null;
    }

    private static (double? P1, double? P2) ReadWorkingPressure(RegisterObject entry, double? nominal)
    {
        if (entry.OptionalObject("workingPressure") is not { } working)
        {
            return (null, null);
        }

        double? p1 = working.RequiredNumber("p1BarGauge", "120", WorkingBar);
        double? p2 = working.RequiredNumber("p2BarGauge", "210", WorkingBar);
        working.Close();
        if (p1 < nominal)
        {
            working.Note(
                "p1BarGauge",
                Invariant($"The lowest working pressure p1, {p1} bar, is below the nominal precharge {nominal} bar."),
                "The precharge lies below p1; correct whichever is wrong.");
        }

        if (p2 <= p1)
        {
            working.Note(
                "p2BarGauge", Invariant($"The highest working pressure p2, {p2} bar, is not above p1, {p1} bar."), "Set p2 above p1.");
        }

        return (p1, p2);
    }

    private static AbsolutePressure? ReadAmbient(RegisterObject entry)
    {
        if (!entry.Has("ambient"))
        {
            return StandardAtmosphere.AmbientAt(0);
        }

        if (entry.OptionalObject("ambient") is not { } ambient)
        {
            return null;
        }

        double? altitude = ambient.OptionalNumber("altitudeMetres", Range.From(-500, 9000, "m"));
        double? barometric = ambient.OptionalNumber("barometricPressureKPa", Range.From(30, 115, "kPa"));
        bool hasAltitude = ambient.Has("altitudeMetres");
        bool hasBarometric = ambient.Has("barometricPressureKPa");
        ambient.Close();
        if (hasAltitude == hasBarometric)
        {
            entry.Note(
                "ambient",
                hasAltitude ? "Both altitude and barometric pressure are given." : "Neither altitude nor barometric pressure is given.",
                "Give exactly one of altitudeMetres and barometricPressureKPa.");
            return null;
        }

        return altitude is not null ? StandardAtmosphere.AmbientAt(altitude.Value)
            : barometric is not null ? AbsolutePressure.FromPascals(barometric.Value * 1000)
            : null;
    }

    private static PressureSensor? ReadPressureSensor(RegisterObject sensor)
    {
        PressureKind? kind = sensor.RequiredText("kind", "\"gauge\"") switch
        {
            "gauge" => PressureKind.Gauge,
            "absolute" => PressureKind.Absolute,
            null => null,
            string other => NoteKind(other),
        };
        (double Low, double High)? range = sensor.RequiredPair("rangeBar", "[0, 400]", SensorBar);
        double? uncertainty = sensor.RequiredNumber("standardUncertaintyBar", "0.3", Range.Above(0, 100, "bar"));
        if (kind == PressureKind.Absolute && range is { Low: < 0 })
        {
            sensor.Note("rangeBar[0]", "An absolute pressure cannot be below 0.", "Set the lower end to 0 or more, or the kind to gauge.");
            return null;
        }

        return kind is not null && range is not null && uncertainty is not null
            ? new PressureSensor(
                kind.Value, range.Value.Low * PascalsPerBar, range.Value.High * PascalsPerBar, uncertainty.Value * PascalsPerBar)
            : null;

        PressureKind? NoteKind(string other)
        {
            sensor.Note("kind", $"'{other}' is no kind of pressure.", "Write gauge or absolute.");
            return null;
        }
    }

    private static TemperatureSensor? ReadTemperatureSensor(RegisterObject sensor)
    {
        (double Low, double High)? range = sensor.RequiredPair("rangeCelsius", "[-40, 125]", SensorCelsius);
        double? uncertainty = sensor.RequiredNumber("standardUncertaintyKelvin", "0.5", Range.Above(0, 50, "K"));
        return range is not null && uncertainty is not null
            ? new TemperatureSensor(range.Value.Low + GasTemperature.IcePointKelvins, range.Value.High + GasTemperature.IcePointKelvins, uncertainty.Value)
            : null;
    }

    /// <summary>A sensor that cannot show what it is there to watch would have its readings turned away for ever.</summary>
    private static void CheckHolds(
        RegisterObject sensorObject, PressureSensor sensor, AbsolutePressure ambient, PrechargeFields? precharge, double? p2)
    {
        double toGauge = sensor.Kind == PressureKind.Gauge ? 0 : ambient.Pascals;
        double lowBar = (sensor.RangeLowPa - toGauge) / PascalsPerBar;
        double highBar = (sensor.RangeHighPa - toGauge) / PascalsPerBar;
        if (precharge is not null && !(lowBar <= precharge.Lower && precharge.Upper <= highBar))
        {
            sensorObject.Note(
                "rangeBar",
                Invariant($"The sensor shows {lowBar:0.###} to {highBar:0.###} bar gauge and cannot hold the precharge limits {precharge.Lower} to {precharge.Upper} bar gauge."),
                "Correct the range or the limits.");
        }
        else if (p2 > highBar)
        {
            sensorObject.Note(
                "rangeBar",
                Invariant($"The sensor ends at {highBar:0.###} bar gauge, below the highest working pressure p2, {p2} bar gauge."),
                "Correct the range or p2.");
        }
    }

    [GeneratedRegex("^[A-Za-z0-9]([A-Za-z0-9._-]{0,62}[A-Za-z0-9])?\\z", RegexOptions.CultureInvariant)]
    private static partial Regex IdPattern();

    private sealed record PrechargeFields(double Nominal, double ReferenceCelsius, double Lower, double Upper);
}
