using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using static PoeWatch.Domain.DesignReports.ReportWarnings;

namespace PoeWatch.Domain.DesignReports;

/// <summary>Runs that break a limit, leave too little, or ask for a class that what feeds them does not grant.</summary>
internal static class CableRunWarnings
{
    internal static IEnumerable<ReportWarning> Of(
        DesignModel design, ImmutableArray<ReportCableRun> runs, HashSet<(string Code, string Element)> known)
    {
        var broken = runs.Where(SiteSheet.IsBroken).ToArray();
        var unpromised = runs.Except(broken).Where(SiteSheet.IsNotGuaranteed).ToArray();
        return
        [
            .. Where(
                "limit-broken",
                Unsaid(broken, "port-upgrade-awaited", known),
                "A limit is broken, or the run cannot be fed, even at the volts and ohms to be expected.",
                "See the run's sheet: the binding limit says where and by how much."),
            .. Where(
                "not-guaranteed",
                Unsaid(unpromised, "not-guaranteed", known),
                "The run works at the volts and ohms to be expected, but not at the worst that the standard allows.",
                "Measure the loop and the volts, or plan with shorter or thicker cable."),
            .. Where(
                "headroom-low",
                runs.Except(broken).Where(run => IsBelowFloor(design, run)).Select(run => run.CableRunId),
                $"By design the run leaves less at its far end than the design's own floor asks ({design.Headroom.AtRun.Early.Watts}).",
                "Plan nothing more on it; relieve it before something is added."),
            .. Where(
                "class-not-granted",
                design.CableRuns.Values.SelectMany(run => NotGranted(design, run)).Where(id => !known.Contains(("class-demoted", id))),
                "The device asks for a higher class than what feeds it grants: it has to do with less.",
                "Make sure that the device works within the lower class, or feed it from an output that grants its class."),
        ];
    }

    private static IEnumerable<string> Unsaid(IEnumerable<ReportCableRun> runs, string code, HashSet<(string Code, string Element)> known) =>
        runs.Select(run => run.CableRunId).Where(id => !known.Contains((code, id)));

    private static bool IsBelowFloor(DesignModel design, ReportCableRun run) =>
        run.LoadCases.Min(c => c.Expected.FarEndExtraW) < design.Headroom.AtRun.Early.For(design.CableRuns[run.CableRunId].Source.Limit).Watts;

    private static IEnumerable<string> NotGranted(DesignModel design, CableRun run) =>
        from place in run.Root.SelfAndBelow()
        where place.DeviceType is not null && place.DeviceType.RequestedClass > GrantedTo(design, run, place)
        select place.ElementId;

    /// <summary>Null where what feeds it is outside the standard or unknown: then nothing can be said.</summary>
    private static PoeClass? GrantedTo(DesignModel design, CableRun run, FlowNode place)
    {
        if (ReferenceEquals(place, run.Root))
        {
            return run.Source is { InjectorId: null, Port: { } port } && design.Switches.TryGetValue(port.PseId, out var pse) && pse.Ports.TryGetValue(port, out var designed)
                ? designed.GrantableClass
                : PoeTables.HighestGrantable(run.Source.Limit, run.Source.Type);
        }

        var parent = place.Incoming.From.ElementId;
        var limit = design.Extenders.TryGetValue(parent, out var extender) ? extender.OutputLimit
            : design.PassThroughSwitches.TryGetValue(parent, out var passThrough) ? passThrough.OutputLimit
            : run.Source.Limit;
        return PoeTables.HighestGrantable(limit, PoeTables.TypeForOutput(limit));
    }
}
