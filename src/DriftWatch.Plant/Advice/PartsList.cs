using DriftWatch.Plant.Jobs;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Plant.Advice;

/// <summary>Parts and equipment to take to the vessel (common practice; the maker's list comes first).</summary>
internal static class PartsList
{
    public static IReadOnlyList<string> For(JobCause cause, VesselType type, bool separatorSuspect)
    {
        List<string> parts =
        [
            "Charging and testing unit made for the gas valve, with gauge, hose and adapter",
            "Thermometer for the shell or the gas",
        ];
        if (cause is not (JobCause.NoWindowTooLong or JobCause.TransducerDrift))
        {
            parts.Add("New seals for gas valve and cap");
        }

        if (cause is JobCause.BelowLowerLimit or JobCause.FallingFasterThanAllowed)
        {
            parts.AddRange(["Nitrogen bottle with pressure regulator", "Leak-detection fluid", "Spare gas valve or valve insert"]);
        }

        if (cause == JobCause.AboveUpperLimit)
        {
            parts.Add("Tray and cloth for fluid that may come out of the gas valve");
        }

        if (cause == JobCause.NoWindowTooLong)
        {
            parts.Add("Spare pressure and temperature transducer");
        }

        if (cause == JobCause.TransducerDrift)
        {
            parts.AddRange(["A gauge with a valid calibration, best not the one of the last checks", "Spare pressure transducer of the same range"]);
        }

        if (separatorSuspect)
        {
            parts.Add(type switch
            {
                VesselType.Bladder => "Spare bladder of the maker's type, in reach of the licensed persons who fit it",
                VesselType.Diaphragm => "Spare diaphragm, or vessel where it is welded, in reach of the licensed persons who fit it",
                _ => "Piston seal kit of the maker, in reach of the licensed persons who fit it",
            });
        }

        return parts;
    }
}
