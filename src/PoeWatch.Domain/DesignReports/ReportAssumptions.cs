using System.Collections.Immutable;
using System.Globalization;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;

namespace PoeWatch.Domain.DesignReports;

/// <summary>What the figures of a report rest on: modes, cables, tables with their sources.</summary>
internal static class ReportAssumptions
{
    private const string Memory = "from memory";

    internal static ImmutableArray<ReportAssumption> Of(DesignModel design, ImmutableArray<LoadCase> cases) =>
    [
        new("Expected", "Nominal voltage; the measured loop where somebody measured it, else gauge, length, material and conductor temperature.", false),
        new("Guaranteed", "The lowest voltage of the PSE's type; the larger of the designed loop and the standard's worst channel in proportion to the length.", false),
        new("Loads", "Every device takes constant power at its input, as the load case says. The physical (smaller) current is taken.", false),
        .. Cables(design),
        .. Types(design),
        .. Classes(design),
        .. cases.Select(c => new ReportAssumption("Load case", $"{c.Id}: {c.Name}. {ReportNames.When(c)}, in the time of {design.Site.TimeZoneId}.", false)),
    ];

    private static IEnumerable<ReportAssumption> Cables(DesignModel design)
    {
        ImmutableArray<CableSegment> segments = [.. design.CableRuns.Values.SelectMany(run => run.Root.SelfAndBelow()).Select(place => place.Incoming)];
        var warmth = segments.Select(s => s.Conductor.Celsius).Distinct().Order().Select(c => c.ToString("0.#", CultureInfo.InvariantCulture));
        yield return new("Conductors", $"Designed at {string.Join(", ", warmth)} °C.", false);
        yield return new(
            "Copper",
            string.Create(CultureInfo.InvariantCulture, $"Solid copper by the wire table (ASTM B258 values); {CableResistance.PerDegree:0.00000} more resistance per °C about 20 °C, {Memory}."),
            true);
        yield return new("Channel", "A segment ends at 100 m: 90 m of cable and 10 m of cords (ISO/IEC 11801, ANSI/TIA-568).", false);
        if (segments.Any(s => s.Material != ConductorMaterial.Copper))
        {
            yield return new("Copper-clad", string.Create(
                CultureInfo.InvariantCulture, $"Copper-clad aluminium counts with {CableResistance.CopperCladFactor:0.00} times the resistance of copper (cable vendors' notes, the worse end)."), false);
        }
    }

    private static IEnumerable<ReportAssumption> Types(DesignModel design) =>
        from type in Feeds(design).Select(feed => feed.Type).Distinct().Order()
        let limits = PoeTables.LimitsOf(type)
        select limits is { } row
            ? new ReportAssumption(ReportNames.Of(type), string.Create(
                CultureInfo.InvariantCulture,
                $"PSE at least {row.PseMinimumVoltage}, PD at least {row.PdMinimumVoltage}, at most {row.PairsetMaximumCurrent} over two pairs and {row.TotalMaximumCurrent} over four, loop {row.ChannelLoopTwoPair} over two pairs. {row.Source}."), Is(row.Source))
            : new ReportAssumption(ReportNames.Of(type), "No limits of voltage and current but the designed ones; a channel of 12.5 ohm.", false);

    private static IEnumerable<ReportAssumption> Classes(DesignModel design) =>
        from asked in Feeds(design).Where(feed => feed.Place.DeviceType is not null)
            .Select(feed => PoeTables.LimitsOf(feed.Place.DeviceType!.RequestedClass, feed.Type)).Distinct().OrderBy(row => row.PoeClass).ThenBy(row => row.Clause)
        select new ReportAssumption(
            ReportNames.Of(asked.PoeClass),
            string.Create(CultureInfo.InvariantCulture, $"Clause {(int)asked.Clause}: {asked.PseMinimumOutput} at the PSE, at most {asked.PdMaximumInput} at the device. {asked.Source}."),
            Is(asked.Source));

    /// <summary>Every place with the type whose limits hold on its segment.</summary>
    private static IEnumerable<(FlowNode Place, PoeType Type)> Feeds(DesignModel design) =>
        from run in design.CableRuns.Values
        let tree = new FlowTree(run, OperatingMode.Expected)
        from index in Enumerable.Range(0, tree.Count)
        select (tree.Place(index), tree.FeedOf(index));

    private static bool Is(string source) => source.Contains(Memory, StringComparison.Ordinal);
}
