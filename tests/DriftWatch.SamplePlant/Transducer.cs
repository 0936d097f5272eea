namespace DriftWatch.SamplePlant;

/// <summary>A sensor as it is: an offset from its calibration, noise, steps of its resolution, ends of its range.</summary>
/// <param name="Low">Lower end of the range, in the sensor's unit.</param>
/// <param name="High">Upper end of the range.</param>
/// <param name="StandardUncertainty">What its calibration sheet states; the planted offset stays inside.</param>
/// <param name="NoiseDeviation">Standard deviation of the noise of one sample.</param>
/// <param name="Resolution">Step of the converter.</param>
public sealed record Transducer(double Low, double High, double StandardUncertainty, double NoiseDeviation, double Resolution)
{
    /// <summary>The offset this one specimen has.</summary>
    public double Offset(Dice random)
    {
        return StandardUncertainty * random.Uniform(-0.9, 0.9);
    }

    /// <summary>What the sensor shows for <paramref name="truth"/>, in whole steps of its resolution.</summary>
    public double Show(double truth, double offset, Dice random)
    {
        double raw = Math.Clamp(truth + offset + (NoiseDeviation * random.Normal()), Low, High);
        long steps = (long)Math.Round(raw / Resolution, MidpointRounding.AwayFromZero);
        int perUnit = (int)Math.Round(1 / Resolution);
        return steps / (double)perUnit;
    }
}
