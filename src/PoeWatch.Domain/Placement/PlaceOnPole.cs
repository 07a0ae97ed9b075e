using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Placement;

/// <summary>Where on a run one more device of a pole would hang.</summary>
internal static class PlaceOnPole
{
    /// <summary>
    /// The farthest element with outputs that stands on the pole; without one, the element that feeds the pole's farthest device, and on a
    /// run of one cable that device itself.
    /// </summary>
    internal static FlowNode Of(CableRun run, string poleId)
    {
        var best = (Place: (FlowNode?)null, HasOutputs: false, Meters: 0.0);
        Look(run.Root, feeding: null, metersBefore: 0.0);
        return best.Place ?? run.FarEnd;

        void Look(FlowNode place, FlowNode? feeding, double metersBefore)
        {
            var meters = metersBefore + place.Incoming.Length.Meters;
            var hasOutputs = place.Kind != FlowNodeKind.Device;
            if (place.PoleId == poleId && (hasOutputs, meters).CompareTo((best.HasOutputs, best.Meters)) > 0)
            {
                best = (hasOutputs ? place : feeding ?? place, hasOutputs, meters);
            }

            foreach (var child in place.Children)
            {
                Look(child, place, meters);
            }
        }
    }

    internal static int OutputCount(FlowNode place) => place.Extender?.OutputCount ?? place.PassThrough?.OutputCount ?? 0;

    internal static int FreeOutputs(FlowNode place) => Math.Max(0, OutputCount(place) - place.Children.Length);

    /// <summary>The most that one output gives; null at a device, which has none.</summary>
    internal static Power? OutputLimit(FlowNode place) => place.Extender?.OutputLimit ?? place.PassThrough?.OutputLimit;
}
