using System.Collections.Immutable;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Design;

namespace PoeWatch.Monitoring.Tests.Year;

/// <summary>What goes wrong with whole switches, their supplies and their settings.</summary>
internal sealed class FaultsOfSwitches(YearPlan plan)
{
    // One that is reached over another is told only once that other one was asked again and answered: its poll period and ten seconds.
    private static readonly TimeSpan s_upstreamAsked = YearOptions.PollPeriod + TimeSpan.FromSeconds(10);

    // A silent agent is asked again at once, several times longer each time, before it is called silent; then more rarely, every five minutes at least.
    private static readonly TimeSpan s_patience = TimeSpan.FromMinutes(1);
    private static readonly TimeSpan s_rare = TimeSpan.FromMinutes(6);

    // Priorities are read with the names, every quarter of an hour.
    private static readonly TimeSpan s_names = TimeSpan.FromMinutes(16);

    public const string AgentSilent = "one switch silent";
    public const string FibreCut = "fibre cut, switches behind it silent";
    public const string Outage = "whole site silent";
    public const string SupplyLost = "supply lost";
    public const string Priority = "priority differs";

    /// <summary>The whole site, by what each element is reached over.</summary>
    private static readonly ImmutableArray<string> s_site = ["quay-west", "pass-slipway", "cabinet", "quay-east", "pass-nets", "north-pier"];

    public YearFault? OneSilent() => Silent(AgentSilent, plan.OneOf<string[]>([["cabinet"], ["pass-slipway"], ["pass-nets"], ["north-pier"]]), plan.Hours(0.4, 12));

    public YearFault? Cut() => Silent(FibreCut, ["quay-east", "pass-nets", "north-pier"], plan.Hours(0.5, 12));

    public YearFault? WholeSite() => Silent(Outage, s_site, plan.Hours(0.4, 3));

    /// <summary>On a cold night the smaller of both switches has to cut ports: they hang under the supply.</summary>
    public YearFault? LoseSupply()
    {
        var (pse, supply) = (plan.OneOf(["quay-west", "north-pier"]), plan.OneOf(["supply-a", "supply-b"]));
        var lasts = plan.Hours(0.5, 24);
        return plan.Take([.. plan.PlacesOf([pse]), $"{pse} supplies"], lasts) is not { } from
            ? null
            : new YearFault(
                SupplyLost, $"{supply} of {pse}", false, from, from + lasts,
                [YearPlan.At(from, $"supply {pse}:1 {supply} lost"), YearPlan.At(from + lasts, $"supply {pse}:1 {supply} back")],
                [YearTimes.Expect(AlarmResources.Group(pse, 1), AlarmTypes.SupplyLost, from, from + lasts)]);
    }

    /// <summary>A critical port is set to low: ports with lower numbers that are low by design would keep power longer.</summary>
    public YearFault? PriorityDiffers()
    {
        var critical = plan.Design.Switches.Values.SelectMany(pse => pse.Ports.Values).Where(port => port.Criticality == Criticality.Critical).Select(port => port.Ref).Order().ToList();
        var port = plan.OneOf(critical);
        var lasts = plan.Hours(2, 40);
        return plan.Take([$"{port.PseId} priorities"], lasts) is not { } from
            ? null
            : new YearFault(
                Priority, $"{port} set to low", false, from, from + lasts,
                [YearPlan.At(from, $"port {port} priority low"), YearPlan.At(from + lasts, $"port {port} priority as designed")],
                [YearTimes.Expect(AlarmResources.Group(port.PseId, port.Group), AlarmTypes.PriorityDiffers, from, from + lasts, s_names, s_names)]);
    }

    /// <param name="ids">The root first, then what is reached over it.</param>
    private YearFault? Silent(string kind, IReadOnlyList<string> ids, TimeSpan lasts)
    {
        if (plan.Take([.. plan.PlacesOf(ids), .. ids.SelectMany(id => new[] { $"{id} supplies", $"{id} priorities" })], lasts) is not { } from)
        {
            return null;
        }

        var names = string.Join(", ", ids);
        var later = ids[0] == s_site[0] ? s_patience : s_upstreamAsked + s_patience;
        return new YearFault(
            kind, names, false, from, from + lasts,
            [YearPlan.At(from, $"agents {names} silent"), YearPlan.At(from + lasts, $"agents {names} answering")],
            [YearTimes.Expect(AlarmResources.Switch(ids[0]), AlarmTypes.SwitchSilent, from, from + lasts, later, s_rare)]);
    }
}
