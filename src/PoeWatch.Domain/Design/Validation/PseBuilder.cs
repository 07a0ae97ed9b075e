using System.Collections.Immutable;
using System.Globalization;
using PoeWatch.Domain.Design.Config;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>Switches with their groups and ports.</summary>
internal static class PseBuilder
{
    public static void Build(DesignParts parts)
    {
        foreach (var written in parts.Config.Switches)
        {
            BuildSwitch(parts, written);
        }
    }

    /// <summary>How problems name a group: <c>quay-west:1</c>.</summary>
    public static string GroupElement(string switchId, int group) => string.Create(CultureInfo.InvariantCulture, $"{switchId}:{group}");

    private static void BuildSwitch(DesignParts parts, SwitchConfig written)
    {
        var id = written.Id?.Value ?? "";
        var agent = AgentBuilder.Build(parts.Problems, id, written.Agent);
        var groups = BuildGroups(parts.Problems, id, written);
        var built = new PseSwitch(
            id,
            written.Name?.Value ?? id,
            agent,
            References.Pole(parts, written.Pole, id),
            BuildUplink(parts.Problems, id, written.Uplink),
            groups,
            BuildPorts(parts.Problems, id, written, groups));
        if (parts.Elements.Take(parts.Problems, written.Id, ElementKind.Switch, written.At))
        {
            parts.Switches.Add(id, built);
            parts.Agents.Add(id, agent);
        }
    }

    private static Uplink? BuildUplink(ProblemList problems, string id, UplinkConfig? written)
    {
        if (written is null)
        {
            return null;
        }

        var values = new ValueReader(problems, id, written.At);
        var uplink = new Uplink(
            values.Text(written.Switch, "switch", "the id of the switch at the near end"),
            values.Choice(written.Medium, DesignChoices.Medium),
            Length.FromMeters(values.Number(written.LengthMeters, DesignNumbers.UplinkLength)));
        if (written.Medium?.Value == "copper" && uplink.Length.Meters > DesignNumbers.SegmentMaxMeters)
        {
            problems.Error(
                "segment-too-long", written.LengthMeters!, id, "A copper uplink reaches at most 100 m (the 100 m rule).",
                "Use 'medium: fibre', or shorten the uplink to 100 m.");
        }

        return uplink;
    }

    private static ImmutableSortedDictionary<int, PseGroup> BuildGroups(ProblemList problems, string id, SwitchConfig written)
    {
        var groups = ImmutableSortedDictionary.CreateBuilder<int, PseGroup>();
        foreach (var group in written.Groups)
        {
            var number = new ValueReader(problems, id, group.At).Whole(group.Group, DesignNumbers.Group);
            var values = new ValueReader(problems, GroupElement(id, number), group.At);
            var built = new PseGroup(
                number,
                values.Power(group.BudgetWatts, DesignNumbers.Budget),
                values.Power(group.GuardBandWatts, DesignNumbers.GuardBand),
                values.Choice(group.Allocation, DesignChoices.Allocation),
                BuildSupplies(problems, values.Element, group))
            {
                PortCount = values.WholeOrNull(group.PortCount, DesignNumbers.PortCount),
                StartsAtOnce = values.WholeOrNull(group.StartsAtOnce, DesignNumbers.StartsAtOnce),
                StartInterval = TimeSpan.FromSeconds(values.Number(group.StartIntervalSeconds, DesignNumbers.StartInterval)),
                Redundancy = values.Choice(group.Redundancy, DesignChoices.Redundancy),
                OwnDraw = values.Power(group.OwnDrawWatts, DesignNumbers.GroupOwnDraw),
                SupplyEfficiency = Ratio.FromPercent(values.Number(group.SupplyEfficiencyPercent, DesignNumbers.SupplyEfficiency)),
            };
            if (built is { Redundancy: SupplyRedundancy.NPlusOne, Supplies.Length: < 2 })
            {
                problems.Error(
                    "too-few-supplies", group.Redundancy!, values.Element, "A group is 'n-plus-1' only with two supplies or more.",
                    "List every supply under 'supplies' with its 'rating-w', or write 'redundancy: all-needed'.");
            }

            if (!groups.TryAdd(number, built))
            {
                problems.Error(
                    "duplicate-group", group.Group?.At ?? group.At, id, Text(number), $"Group {number} of '{id}' is written twice.",
                    "Give each group of a switch its own number, and write it.");
            }

            if (built.GuardBand >= built.Budget && group.GuardBandWatts is not null && group.BudgetWatts is not null)
            {
                problems.Taint(values.Element);
                problems.Error(
                    "guard-band-too-large", group.GuardBandWatts, values.Element, "The guard band leaves nothing of the budget.",
                    "Make 'guard-band-w' smaller than 'budget-w'.");
            }
        }

        if (groups.Count == 0)
        {
            problems.Error(
                "missing", written.At, id, "", $"The switch '{id}' has no PSE group.",
                "Write 'groups' with at least one group and its 'budget-w': what all its ports may draw together.");
        }

        return groups.ToImmutable();
    }

    private static ImmutableArray<Supply> BuildSupplies(ProblemList problems, string element, PseGroupConfig group)
    {
        var ids = new IdRegistry<ElementKind>("supply");
        var supplies = ImmutableArray.CreateBuilder<Supply>();
        foreach (var supply in group.Supplies)
        {
            var rating = new ValueReader(problems, element, supply.At).Power(supply.RatingWatts, DesignNumbers.SupplyRating);
            if (ids.Take(problems, supply.Id, default, supply.At))
            {
                supplies.Add(new Supply(supply.Id!.Value, rating));
            }
        }

        return supplies.ToImmutable();
    }

    private static ImmutableSortedDictionary<PsePortRef, PsePort> BuildPorts(
        ProblemList problems, string id, SwitchConfig written, ImmutableSortedDictionary<int, PseGroup> groups)
    {
        var ports = ImmutableSortedDictionary.CreateBuilder<PsePortRef, PsePort>();
        foreach (var port in written.Ports)
        {
            var values = new ValueReader(problems, id, port.At);
            var text = values.Text(port.Port, "port", "a port number, or 'group/port'");
            if (port.Port is null || !PortNumbers.TryRead(problems, port.Port, id, text, groups, out var reference))
            {
                reference = new PsePortRef(id, 1, int.MaxValue - ports.Count);
            }

            if (!ports.TryAdd(reference, BuildPort(new ValueReader(problems, reference.ToString(), port.At), reference, port)))
            {
                problems.Error(
                    "duplicate-port", port.Port ?? new Written<string>("", port.At), id, $"Port {text} of '{id}' is written twice.",
                    "Write each port once.");
            }
        }

        return ports.ToImmutable();
    }

    private static PsePort BuildPort(ValueReader values, PsePortRef reference, PsePortConfig written)
    {
        var writtenLimit = values.NumberOrNull(written.LimitWatts, DesignNumbers.PortLimit);
        var writtenClass = values.WholeOrNull(written.Class, DesignNumbers.PoeClass);
        var writtenType = values.WholeOrNull(written.Type, DesignNumbers.PoeType);
        var limit = (writtenLimit, writtenClass, writtenType) switch
        {
            ({ } watts, _, _) => Power.FromWatts(watts),
            (null, { } poeClass, _) => PoeTables.ClassBoundAtPse((PoeClass)poeClass),
            (null, null, { } typeNumber) => PortDefaults.LimitOf((PoeType)typeNumber),
            _ => PortDefaults.Limit,
        };
        var type = writtenType is { } number ? (PoeType)number : PoeTables.TypeForOutput(limit);
        return new PsePort(
            reference,
            limit,
            type,
            writtenClass is { } classNumber ? (PoeClass)classNumber : PortDefaults.Grantable(limit, type),
            values.Choice(written.Criticality, DesignChoices.Criticality),
            BuildUpgrade(values.Problems, values.Element, written.Upgrade, limit))
        {
            Vlan = values.WholeOrNull(written.Vlan, DesignNumbers.Vlan),
        };
    }

    private static PlannedUpgrade? BuildUpgrade(ProblemList problems, string element, UpgradeConfig? written, Power limit)
    {
        if (written is null)
        {
            return null;
        }

        var values = new ValueReader(problems, element, written.At);
        if (written.LimitWatts is null)
        {
            values.Missing("limit-w", "the watts that the port gives once it is upgraded");
        }

        var upgraded = values.NumberOrNull(written.LimitWatts, DesignNumbers.PortLimit);
        if (upgraded <= limit.Watts)
        {
            problems.Taint(element);
            problems.Error(
                "upgrade-below-limit", written.LimitWatts!, element, $"The upgrade gives no more than the port does today ({limit}).",
                "Write the higher limit that is to come, or remove 'upgrade'.");
        }

        DateOnly? due = null;
        if (written.Due is not null)
        {
            due = DateOnly.TryParseExact(written.Due.Value, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var day) ? day : null;
            if (due is null)
            {
                problems.Error(
                    "malformed-date", written.Due, element, "'due' must be a day.", "Write year, month and day as 'YYYY-MM-DD' (RFC 3339 full-date).");
            }
        }

        return new PlannedUpgrade(Power.FromWatts(upgraded ?? DesignNumbers.PortCeilingWatts), due);
    }

    private static string Text(int number) => number.ToString(CultureInfo.InvariantCulture);
}
