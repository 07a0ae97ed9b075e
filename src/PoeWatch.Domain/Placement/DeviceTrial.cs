using System.Globalization;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Placement;

/// <summary>Hangs one more device at a place in one load case and says what would be in its way.</summary>
internal static class DeviceTrial
{
    internal static DeviceFit Judge(CableRun run, FlowNode place, DeviceType type, Power need, WorstLoadCase now, OperatingMode mode)
    {
        var margin = now.Extra.Watts - need;
        var broken = margin < Power.Zero || now.Extra.Binding.IsBroken
            ? now.Extra.Binding
            : ClassInTheWay(place, type, need) ?? VoltsInTheWay(run, place, type, need, now, mode);
        var free = PlaceOnPole.FreeOutputs(place);
        string?[] needs = [OutputNeeded(run, place, free), broken is null ? null : LimitInTheWay(now.Case, margin, broken)];
        return new DeviceFit(
            run.Id,
            place.ElementId,
            Fits: free > 0 && broken is null,
            free,
            now.Case.Id,
            margin,
            broken,
            string.Join(' ', needs.OfType<string>()));
    }

    private static string? OutputNeeded(CableRun run, FlowNode place, int free)
    {
        if (free > 0)
        {
            return null;
        }

        return place.Kind == FlowNodeKind.Device
            ? $"Run {run.Id} is one cable to device {place.ElementId} and has no free output: it needs an extender or a pass-through switch "
                + "at that end, or a run of its own."
            : string.Create(
                CultureInfo.InvariantCulture,
                $"All {PlaceOnPole.OutputCount(place)} outputs of {place.ElementId} are in use: it needs a free output there, or a run of its own.");
    }

    private static string LimitInTheWay(LoadCase loadCase, Power margin, LimitMargin broken) => margin < Power.Zero
        ? string.Create(
            CultureInfo.InvariantCulture, $"In load case {loadCase.Id} {-margin.Watts:0.##} W are missing. As it is now: {broken.Sentence}")
        : broken.Sentence;

    /// <summary>An output grants a class by its watts; a PD that was granted less than it asked for must stay below that class.</summary>
    private static LimitMargin? ClassInTheWay(FlowNode place, DeviceType type, Power need)
    {
        if (PlaceOnPole.OutputLimit(place) is not { } outputLimit)
        {
            return null;
        }

        var outputType = PoeTables.TypeForOutput(outputLimit);
        PoeClass? granted = PoeTables.HighestGrantable(outputLimit, outputType) is { } highest
            ? type.RequestedClass > highest ? ClassOnTheWay.Assigned(type.RequestedClass, highest) : highest
            : null;
        var most = granted is { } poeClass ? PoeTables.LimitsOf(poeClass, outputType).PdMaximumInput : Power.Zero;
        if (need <= most)
        {
            return null;
        }

        var grant = granted is { } known ? $"class {(int)known}" : "no class";
        var sentence = $"An output of {place.ElementId} ({outputLimit}) grants {grant}, that is {most} at the device; type {type.Id} needs {need}.";
        return new LimitMargin(LimitKind.GrantableClass, place.ElementId, most.Watts, need.Watts, "W", "class table of IEEE 802.3")
        {
            IsBroken = true,
            Sentence = sentence,
        };
    }

    private static LimitMargin? VoltsInTheWay(
        CableRun run, FlowNode place, DeviceType type, Power need, WorstLoadCase now, OperatingMode mode)
    {
        var tree = new FlowTree(run, mode);
        var index = tree.IndexOf(place.ElementId);
        var state = new FlowState(tree, now.Demand) { FurtherAt = index, FurtherWatts = need.Watts };
        var least = PoeTables.LimitsOf(PoeTables.PdTypeOf(type.RequestedClass))!.Value;
        if (!FlowSweep.Solve(state))
        {
            throw new InvalidOperationException($"Run {run.Id} collapsed below the extra watts found for {place.ElementId}.");
        }

        var volts = tree.OutputVolts(index) ?? state.Volts[index];
        if (volts >= least.PdMinimumVoltage.Volts - 1e-9)
        {
            return null;
        }

        var sentence = $"A device of type {type.Id} (class {(int)type.RequestedClass}) would get {Voltage.FromVolts(volts)} at {place.ElementId}, "
            + $"but needs at least {least.PdMinimumVoltage}.";
        return new LimitMargin(LimitKind.PdVoltage, place.ElementId, least.PdMinimumVoltage.Volts, volts, "V", least.Source)
        {
            IsBroken = true,
            Sentence = sentence,
        };
    }
}
