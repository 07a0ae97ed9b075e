using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Demands;

/// <summary>Which ports a schedule keeps off for the whole of a load case: they need nothing in it. Pure and thread safe.</summary>
public static class PlannedOff
{
    /// <summary>
    /// True where one schedule covers every hour in which the case can be in force. A schedule that covers only some of them leaves the demand as it is: the case may come while the port is on.
    /// </summary>
    public static bool Is(PsePortRef port, LoadCase loadCase, IEnumerable<PortSchedule> schedules)
    {
        ArgumentNullException.ThrowIfNull(loadCase);
        ArgumentNullException.ThrowIfNull(schedules);
        return schedules.Any(schedule => schedule.Ports.Contains(port) && Covers(schedule.Off, loadCase.Window));
    }

    /// <summary>True where every moment of <paramref name="inner"/> (null: the whole day) lies in <paramref name="outer"/>.</summary>
    public static bool Covers(DailyWindow outer, DailyWindow? inner)
    {
        if (outer.From == outer.To)
        {
            return true;
        }

        if (inner is not { } window || window.From == window.To)
        {
            return false;
        }

        // TimeOnly subtracts around midnight: always 0 to 24 h.
        return (window.From - outer.From) + (window.To - window.From) <= outer.To - outer.From;
    }
}
