using System.Collections.Immutable;
using System.Globalization;
using PoeWatch.Domain.Design;

namespace PoeWatch.Domain.DesignReports;

/// <summary>Sentences and figures that text and page share.</summary>
internal static class ReportWords
{
    public const string CannotBeFed = "cannot be fed";

    internal static string Watts(double? watts) => watts is { } known ? Number(known, "0.00") : "–";

    internal static string Number(double value, string format)
    {
        var text = value.ToString(format, CultureInfo.InvariantCulture);
        return text.StartsWith('-') && text.AsSpan(1).TrimStart("0.").IsEmpty ? text[1..] : text; // No "-0.00".
    }

    internal static string Plain(double value) => Number(value, "0.##");

    internal static string Date(DateTimeOffset time) => time.UtcDateTime.ToString("yyyy-MM-dd HH:mm 'UTC'", CultureInfo.InvariantCulture);

    internal static string ShortHash(DesignReport report) => report.DesignHash.Length > 12 ? report.DesignHash[..12] : report.DesignHash;

    internal static string Count(int count, string one, string several) => string.Create(CultureInfo.InvariantCulture, $"{count} {(count == 1 ? one : several)}");

    /// <summary>What the site comes to in one sentence.</summary>
    internal static string Verdict(SiteTotals totals) => (totals.BrokenCount, totals.NotGuaranteedCount) switch
    {
        (0, 0) => "Every run works in every load case, also by the worst figures that the standard allows.",
        (0, var some) => $"Every run works by the figures to be expected; {Count(some, "run is", "runs are")} not guaranteed by the standard in some load case.",
        var (broken, some) => $"{Count(broken, "run breaks", "runs break")} a limit by the figures to be expected, {Count(some, "more is", "more are")} not guaranteed by the standard.",
    };

    internal static string Verdict(ReportCableRun run) => SiteSheet.IsBroken(run) ? "Broken: a limit does not hold even by the figures to be expected."
        : SiteSheet.IsNotGuaranteed(run) ? "Works by the figures to be expected; not guaranteed by the standard."
        : "Works in every load case, guaranteed by the standard.";

    internal static string Spare(double extraWatts) => extraWatts < 0.0 ? $"{Watts(-extraWatts)} W too much" : $"{Watts(extraWatts)} W left";

    internal static string Kind(ReportPlace place) => place.Kind switch
    {
        "device" => $"{place.TypeName}, {place.RequestedClass}",
        "extender" => $"Extender, own draw {Plain(place.OwnDrawW)} W",
        _ => $"Pass-through switch, own draw {Plain(place.OwnDrawW)} W, {Outputs(place)}",
    };

    internal static string Source(ReportSource source) =>
        $"{(source.Kind == "injector" ? "Injector" : "Switch port")} of {Plain(source.LimitW)} W, {source.PoeType}{(source.GrantableClass is { } highest ? $", grants {highest}" : "")}{(source.IsUnmetered ? ", unmetered" : "")}";

    internal static string Cable(ReportSegment segment) =>
        $"{Plain(segment.LengthM)} m{(segment.CordsM > 0.0 ? $" and {Plain(segment.CordsM)} m cords" : "")}, {segment.GaugeAwg} AWG, {segment.PairCount} pairs{(segment.Category is { } category ? $", Cat {category}" : "")}{(segment.Material == "copper" ? "" : ", " + segment.Material.Replace('-', ' '))}, {Plain(segment.ConductorCelsius)} °C{(segment.BundledCount > 1 ? $", bundle of {segment.BundledCount}" : "")}";

    internal static string Taken(ReportLimit limit) => limit switch
    {
        { IsBroken: true, IsAdvice: true } => "advice",
        { IsBroken: true } => "broken",
        _ => $"{Number(limit.TakenPercent, "0")} %",
    };

    internal static string Balance(EnergyBalance balance) =>
        $"Source {Watts(balance.SourceW)} W = devices {Watts(balance.DevicesW)} W + own draws {Watts(balance.OwnDrawsW)} W + conversion {Watts(balance.ConversionLossW)} W + cable {Watts(balance.CableLossW)} W";

    internal static string Supplies(ReportGroup group) => group.Supplies.IsEmpty
        ? "Supplies: not named in the design."
        : $"Supplies: {string.Join(", ", group.Supplies.Select(s => $"{s.SupplyId} {Plain(s.RatingW)} W"))}; own draw {Watts(group.OwnDrawW)} W; left for the ports {Watts(group.SuppliesW)} W, with the largest lost {Watts(group.SuppliesAfterLossW)} W; designed {(group.Redundancy == SupplyRedundancy.NPlusOne.Name() ? "to survive that (N+1)" : "with all of them needed")}.{Shed(group)}";

    private static string Shed(ReportGroup group) => group.Supplies.Length < 2 ? ""
        : group.ShedPorts.IsEmpty ? " No port goes dark with the largest lost."
        : $" With the largest lost these go dark, in this order: {string.Join(", ", group.ShedPorts)}.";

    internal static string Starts(ReportGroup group, ReportColdStart start) =>
        $"After an outage ({(start.IsDesigned ? start.Name : $"standard load case {start.LoadCaseId}, which the design does not name")}): while devices boot {Watts(start.BootPeakW)} W of {Watts(group.UsableW)} W usable; for a moment while inputs fill {Watts(start.InrushW)} W of {Watts(start.SuppliesW)} W that are there. {start.Sentence}";

    /// <summary>What the watts of the ports table mean: they need not be of the same load case.</summary>
    internal const string PortsTable = "Ports: demand in the worst load case of each, set aside in that of the group";

    internal static string Conflict(PriorityConflict conflict) =>
        $"When power gets short {conflict.Port} goes dark before {conflict.KeptLongerPort}, although a more critical device hangs behind it.";

    internal static string Worst(ImmutableArray<PlaceCase> cases, string worstId)
    {
        var worst = cases.First(c => c.LoadCaseId == worstId);
        return $"{worst.Name}{(worst.WhoPages is { } pages ? $" ({pages} pages)" : "")}";
    }

    internal static string Lasts(ReportUps ups) =>
        $"{Plain(ups.UsableWh)} Wh when new, feeds {string.Join(", ", ups.SwitchIds)}; gives {Watts(ups.LoadW)} W in the worst load case ({ups.WorstLoadCaseName}) and lasts {Minutes(ups.RuntimeSeconds)}, {(ups.WantedSeconds is null ? "no time is wanted" : $"{Minutes(ups.WantedSeconds)} wanted")}.";

    // Rounded down: a promise.
    private static string Minutes(double? seconds) => seconds is { } known ? $"{Number(Math.Floor(known / 60.0), "0")} min" : "as long as nothing is drawn";

    private static string Outputs(ReportPlace place) =>
        place.OutputV is { } volts ? $"outputs regulated to {Plain(volts)} V at {Plain(place.EfficiencyPercent ?? 100.0)} %" : "outputs at the voltage that arrives";
}
