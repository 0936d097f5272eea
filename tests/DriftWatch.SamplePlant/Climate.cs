namespace DriftWatch.SamplePlant;

/// <summary>The air around a vessel: season, time of day and weather.</summary>
/// <param name="MeanC">Mean of the year, degrees Celsius.</param>
/// <param name="SeasonK">Half the swing between the coldest and the warmest time of the year, kelvin.</param>
/// <param name="DayK">Half the swing between night and afternoon in midsummer, kelvin; in midwinter half as much.</param>
/// <param name="WeatherK">Standard deviation of the weather, kelvin; it forgets itself over some three days.</param>
public sealed record Climate(double MeanC, double SeasonK, double DayK, double WeatherK)
{
    private const double WeatherMemoryHours = 72;

    /// <summary>A heated hall.</summary>
    public static Climate Hall { get; } = new(21, 4, 2, 1);

    /// <summary>A hall whose gates stand open: half way to the weather outside.</summary>
    public static Climate OpenHall { get; } = new(16, 8, 3.5, 2);

    /// <summary>Out of doors: about -15 to 38 degrees Celsius within the year.</summary>
    public static Climate Outdoors { get; } = new(11, 15, 7, 3.2);

    /// <summary>Air temperature at each full hour from <paramref name="start"/>, one more than <paramref name="hours"/>; degrees Celsius.</summary>
    public double[] HourlyC(DateTimeOffset start, int hours, Dice random)
    {
        var air = new double[hours + 1];
        double keep = Math.Exp(-1 / WeatherMemoryHours);
        double fresh = Math.Sqrt(1 - (keep * keep));
        double weather = random.Normal();
        for (int hour = 0; hour <= hours; hour++)
        {
            DateTimeOffset now = start.AddHours(hour);
            double season = Math.Cos(2 * Math.PI * (now.DayOfYear - 203) / 365.25);
            double day = Math.Cos(2 * Math.PI * (now.Hour - 15) / 24.0) * (0.75 + (0.25 * season));
            weather = (keep * weather) + (fresh * random.Normal());

            // Weather has no tails without end: three standard deviations at most, reached softly.
            air[hour] = MeanC + (SeasonK * season) + (DayK * day) + (WeatherK * 3 * Math.Tanh(weather / 3));
        }

        return air;
    }
}
