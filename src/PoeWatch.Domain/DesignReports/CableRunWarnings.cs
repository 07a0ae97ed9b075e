using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.PowerFlow;
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
                design.CableRuns.Values.SelectMany(NotGranted).Where(id => !known.Contains(("class-demoted", id))),
                "The device asks for a higher class than what feeds it grants: it has to do with less.",
                "Make sure that the device works within the lower class, or feed it from an output that grants its class."),
            .. Advice(design, runs),
        ];
    }

    /// <summary>What warns but proves no failure, one warning for each kind of limit.</summary>
    private static IEnumerable<ReportWarning> Advice(DesignModel design, ImmutableArray<ReportCableRun> runs) =>
        from limit in runs.SelectMany(run => run.Expected.Limits)
        where limit is { IsBroken: true, IsAdvice: true } && !design.Warnings.Any(warning => warning.Message.Contains(limit.Sentence, StringComparison.Ordinal))
        group limit by limit.Kind into advice
        from warning in Where(
            advice.Key, advice.Select(limit => limit.ElementId), $"Beyond what is advised, such as: {advice.First().Sentence}", "The run works all the same; see its sheet.")
        select warning;

    private static IEnumerable<string> Unsaid(IEnumerable<ReportCableRun> runs, string code, HashSet<(string Code, string Element)> known) =>
        runs.Select(run => run.CableRunId).Where(id => !known.Contains((code, id)));

    private static bool IsBelowFloor(DesignModel design, ReportCableRun run) =>
        run.LoadCases.Min(c => c.Expected.FarEndExtraW) < design.Headroom.AtRun.Early.For(design.CableRuns[run.CableRunId].Source.Limit).Watts;

    private static IEnumerable<string> NotGranted(CableRun run)
    {
        var tree = new FlowTree(run, OperatingMode.Expected);
        return from index in Enumerable.Range(0, tree.Count)
               let place = tree.Place(index)
               where place.DeviceType is not null && ClassOnTheWay.GrantedTo(run, tree.ParentNode(index), place) is { } granted && place.DeviceType.RequestedClass > granted
               select place.ElementId;
    }
}
