using System.Globalization;
using PoeWatch.Domain.PowerFlow;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>Turns limits that a run breaks into problems: at the figure that is too small, with what would help.</summary>
internal sealed class LimitProblems(DesignParts parts)
{
    private readonly WrittenFigures _figures = new(parts);

    /// <summary>Limits of what feeds: a source, an output, a total.</summary>
    public static bool IsOfSource(LimitKind kind) =>
        kind is LimitKind.PsePort or LimitKind.InjectorRating or LimitKind.ExtenderOutput or LimitKind.PassThroughOutput or LimitKind.GrantableClass;

    /// <summary>Limits that follow from volts and amperes.</summary>
    public static bool IsElectrical(LimitKind kind) => kind is LimitKind.PdVoltage or LimitKind.PairCurrent or LimitKind.PairsetCurrent or LimitKind.VoltageCollapse
        or LimitKind.CableTemperature;

    /// <summary>Code of the problem that a broken limit of a run is.</summary>
    public string CodeOf(CableRun run, LimitMargin margin) => CodeOf(Resolve(run, margin));

    private static string CodeOf(LimitKind kind) => kind switch
    {
        LimitKind.PsePort => "port-limit-too-small",
        LimitKind.InjectorRating => "injector-rating-exceeded",
        LimitKind.ExtenderInput or LimitKind.PassThroughInput => "input-limit-exceeded",
        LimitKind.ExtenderOutput or LimitKind.PassThroughOutput => "output-limit-exceeded",
        LimitKind.PassThroughTotal => "total-limit-exceeded",
        LimitKind.PdClass or LimitKind.ExtendedPower => "demand-above-class",
        LimitKind.PdVoltage => "voltage-too-low",
        LimitKind.PairCurrent or LimitKind.PairsetCurrent => "pair-current-exceeded",
        LimitKind.CableTemperature => "cable-too-warm",
        LimitKind.OutputCount => "output-beyond-count",
        LimitKind.VoltageCollapse => "cannot-be-fed",
        LimitKind.SegmentLength => "segment-too-long",
        _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "Not a limit of a run."),
    };

    public void Report(CableRun run, BrokenLimit broken)
    {
        var (kind, element) = (Resolve(run, broken.Margin), ElementOf(run, broken.Margin));
        var at = PlaceOf(run, kind, element, broken);
        parts.Problems.Error(CodeOf(kind), at, element, Explain(run, broken), Remedy(kind));
    }

    public void WarnOfUpgrade(CableRun run, PlannedUpgrade upgrade, BrokenLimit broken)
    {
        var port = parts.Switches[run.Source.Port!.Value.PseId].Ports[run.Source.Port.Value];
        var at = _figures.PortLimit(port, run.Root.Incoming.Id);
        var due = upgrade.Due is { } day ? string.Create(CultureInfo.InvariantCulture, $" is due {day:yyyy-MM-dd}") : " has no date";
        parts.Problems.Warning(
            "port-upgrade-awaited", at.At, run.Id, at.Value,
            $"{Explain(run, broken)} The upgrade to {upgrade.Limit}{due}.",
            "Until then load the run no further than the port allows; remove 'upgrade' and write the new limit once it is there.");
    }

    public void WarnNotGuaranteed(CableRun run, BrokenLimit broken)
    {
        var at = parts.WrittenCables[run.Root.Incoming.Id].From!;
        parts.Problems.Warning(
            "not-guaranteed", at.At, run.Id, at.Value,
            $"The run works at the volts and ohms to be expected, but not at the worst that the standard allows: {broken.Margin.Sentence}",
            "Measure the loop ('measured-loop-ohm') and the volts, or plan with shorter or thicker cable.");
    }

    /// <summary>The element that a broken limit is told at: what feeds a device that is short of class, else where the limit is.</summary>
    public string ElementOf(CableRun run, LimitMargin margin)
    {
        if (margin.Kind != LimitKind.GrantableClass)
        {
            return margin.ElementId;
        }

        return margin.ElementId == run.Root.ElementId ? run.Id : parts.SegmentByFed[margin.ElementId].From.ElementId;
    }

    // A device short of class is told as its output being too small: the same figure mends both.
    private LimitKind Resolve(CableRun run, LimitMargin margin)
    {
        if (margin.Kind != LimitKind.GrantableClass)
        {
            return margin.Kind;
        }

        var feeder = ElementOf(run, margin);
        if (feeder == run.Id)
        {
            return run.Source.InjectorId is null ? LimitKind.PsePort : LimitKind.InjectorRating;
        }

        return parts.Extenders.ContainsKey(feeder) ? LimitKind.ExtenderOutput : LimitKind.PassThroughOutput;
    }

    private Written<string> PlaceOf(CableRun run, LimitKind kind, string element, BrokenLimit broken) => kind switch
    {
        LimitKind.PsePort => _figures.PortLimit(parts.Switches[run.Source.Port!.Value.PseId].Ports[run.Source.Port.Value], run.Root.Incoming.Id),
        LimitKind.InjectorRating => _figures.InjectorRating(run.Id),
        LimitKind.ExtenderInput or LimitKind.PassThroughInput => _figures.InputLimit(element),
        LimitKind.ExtenderOutput or LimitKind.PassThroughOutput => _figures.OutputLimit(element),
        LimitKind.PassThroughTotal => _figures.TotalLimit(element),
        LimitKind.PdClass or LimitKind.ExtendedPower => _figures.Demand(parts.Devices[element].TypeId, broken.LoadCase.Id),
        LimitKind.OutputCount => _figures.Outputs(element),
        LimitKind.PdVoltage => _figures.CableLength(parts.SegmentByFed[element].Id),
        _ => _figures.CableLength(element),
    };

    private static string Explain(CableRun run, BrokenLimit broken) =>
        $"{broken.Margin.Sentence} Run '{run.Id}', load case '{broken.LoadCase.Id}'.";

    private static string Remedy(LimitKind kind) => kind switch
    {
        LimitKind.PsePort =>
            "Use a port with a higher limit, an injector, or less demand; where a better port is to come, say so under 'upgrade' of the port.",
        LimitKind.InjectorRating => "Use an injector with a higher rating, or less demand.",
        LimitKind.ExtenderInput or LimitKind.PassThroughInput or LimitKind.PassThroughTotal =>
            "Hang fewer or smaller devices on it, feed some of them by a run of their own, or use a larger one.",
        LimitKind.ExtenderOutput or LimitKind.PassThroughOutput => "Feed the device from an output with a higher limit, or by a run of its own.",
        LimitKind.ExtendedPower => "Lower the demand, shorten or thicken the cable, or remove 'extended-power'.",
        LimitKind.CableTemperature =>
            "Split the bundle, use thicker cable or one rated higher ('rated-c'), or write how warm its surroundings are ('ambient-c').",
        LimitKind.OutputCount => "Use one with more outputs, or feed some devices by a run of their own.",
        LimitKind.PdClass => "Raise the type's 'class', or lower the demand to what the device needs.",
        _ => "Use a shorter or thicker cable, four pairs, or less demand.",
    };
}
