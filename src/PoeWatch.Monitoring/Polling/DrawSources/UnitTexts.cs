using System.Globalization;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>What a verdict on units says to people. Pure.</summary>
internal static class UnitTexts
{
    /// <summary>Null where there is nothing to say.</summary>
    public static ReadingFinding? Finding(string source, int group, UnitVerdict verdict, double factor, GroupSums sums)
    {
        var what = verdict switch
        {
            UnitVerdict.PortsWrong => $"So the figures of the ports ({source}) are in another unit than was thought and are not published.",
            UnitVerdict.TotalWrong => "So the group's figure is in another unit than watts and is not published; the ports' are.",
            UnitVerdict.Undecided => $"Nothing says which is wrong, so neither the ports' figures ({source}) nor the group's are published.",
            _ => null,
        };
        return what is null
            ? null
            : new ReadingFinding(
                FindingKind.UnitConflict, group, null,
                $"Units of group {group.ToString(CultureInfo.InvariantCulture)} conflict: {Seen(factor, sums)} {what} Compare both with a watt meter or the device's own display, then correct the unit in the design's draw-column or in a draw sheet.");
    }

    /// <summary>The comparison in words.</summary>
    public static string Seen(double factor, GroupSums sums) => sums.Total is not { } total || !double.IsFinite(factor)
        ? double.IsNaN(factor)
            ? string.Create(CultureInfo.InvariantCulture, $"{sums.AboveCeiling} of {sums.Delivering} delivering ports show far more than they may draw at all.")
            : $"the delivering ports add up to {sums.Sum}, less than any PD may draw, and the group says {sums.Total}."
        : string.Create(
            CultureInfo.InvariantCulture,
            $"the ports add up to {sums.Sum}, the group says {total}, {(factor >= 1 ? $"{factor:0} times as much" : $"one {1 / factor:0}th of it")}.");

    public static ReadingFinding AllocationAsDraw(string source, int group) => new(
        FindingKind.AllocationAsDraw, group, null,
        $"Every delivering port of group {group.ToString(CultureInfo.InvariantCulture)} shows exactly what its class or its allocation allows ({source}). That is what was set aside, not what flows, and is taken as a ceiling until a port differs.");
}
