using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.DesignReports;

/// <summary>The places of a run as figures, and where its watts go.</summary>
internal static class RunPlaces
{
    internal static ImmutableArray<ReportPlace> Of(DesignModel design, CableRun run, PowerFlowResult expected, PowerFlowResult guaranteed)
    {
        var (expectedTree, guaranteedTree) = (new FlowTree(run, OperatingMode.Expected), new FlowTree(run, OperatingMode.Guaranteed));
        var places = ImmutableArray.CreateBuilder<ReportPlace>(expectedTree.Count);
        var depths = new int[expectedTree.Count];
        for (var index = 0; index < expectedTree.Count; index++)
        {
            var (place, parent) = (expectedTree.Place(index), expectedTree.ParentOf(index));
            depths[index] = parent < 0 ? 0 : depths[parent] + 1;
            var passThrough = place.PassThrough;
            places.Add(new ReportPlace(
                place.ElementId,
                place.Device?.Name ?? place.Extender?.Name ?? passThrough?.Name ?? place.ElementId,
                Kebab.Of(place.Kind.ToString()),
                place.PoleId is { } pole ? ReportNames.OfPole(design, pole) : null,
                parent < 0 ? null : expectedTree.Place(parent).ElementId,
                depths[index],
                place.DeviceType?.Name,
                place.DeviceType is { } type ? ReportNames.Of(type.RequestedClass) : null,
                OwnDrawOf(place).Watts,
                passThrough?.Efficiency.Percent,
                passThrough?.OutputVoltage?.Volts,
                SegmentOf(place.Incoming, Ohms(expectedTree, index, expected), Ohms(guaranteedTree, index, guaranteed)),
                FiguresOf(place, expected, Ohms(expectedTree, index, expected)),
                FiguresOf(place, guaranteed, Ohms(guaranteedTree, index, guaranteed))));
        }

        return places.MoveToImmutable();
    }

    /// <summary>Null where the run cannot be fed.</summary>
    internal static EnergyBalance? BalanceOf(CableRun run, PowerFlowResult flow)
    {
        if (flow is not { DrawAtPse: { } source, CableLoss: { } loss })
        {
            return null;
        }

        var places = run.Root.SelfAndBelow().ToArray();
        return new EnergyBalance(
            source.Watts,
            places.Where(p => p.Kind == FlowNodeKind.Device).Sum(p => flow.Points[p.ElementId].DrawAtInput.Watts),
            places.Sum(p => OwnDrawOf(p).Watts),
            places.Sum(p => ConversionLoss(p, flow).Watts),
            loss.Watts);
    }

    /// <summary>At the current that flows; without one where the run cannot be fed.</summary>
    private static double Ohms(FlowTree tree, int index, PowerFlowResult flow) =>
        tree.LawOf(index).OhmsAt(flow.Points.TryGetValue(tree.Place(index).ElementId, out var point) ? point.Current.Amperes : 0.0);

    private static PlaceFigures? FiguresOf(FlowNode place, PowerFlowResult flow, double ohms) => flow.Points.TryGetValue(place.ElementId, out var point)
        ? new PlaceFigures(
            point.Voltage.Volts + (point.Current.Amperes * ohms),
            point.Voltage.Volts,
            point.Current.Amperes,
            point.DrawAtInput.Watts,
            point.SegmentLoss.Watts,
            ConversionLoss(place, flow).Watts)
        : null;

    private static Power OwnDrawOf(FlowNode place) => place.Extender?.OwnDraw ?? place.PassThrough?.OwnDraw ?? Power.Zero;

    /// <summary>What goes in, less the own draw and what goes out into the segments behind.</summary>
    private static Power ConversionLoss(FlowNode place, PowerFlowResult flow) => place.Kind == FlowNodeKind.PassThroughSwitch
        ? place.Children.Aggregate(
            flow.Points[place.ElementId].DrawAtInput - OwnDrawOf(place),
            (rest, child) => rest - flow.Points[child.ElementId].DrawAtInput - flow.Points[child.ElementId].SegmentLoss)
        : Power.Zero;

    private static ReportSegment SegmentOf(CableSegment segment, double expectedOhms, double guaranteedOhms) => new(
        segment.Id,
        ReportNames.Of(segment.From),
        segment.Length.Meters,
        segment.Installation.Cords.Meters,
        segment.Installation.BundledCables,
        segment.GaugeAwg,
        segment.Pairs,
        segment.Category,
        Kebab.Of(segment.Material.ToString()),
        segment.MeasuredLoop?.Ohms,
        segment.Conductor.Celsius,
        expectedOhms,
        guaranteedOhms);
}
