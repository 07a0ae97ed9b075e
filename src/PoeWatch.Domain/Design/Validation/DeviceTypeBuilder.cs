using System.Collections.Immutable;
using System.Globalization;
using PoeWatch.Domain.Design.Config;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>Device types: one figure for all, or what each condition makes a device take.</summary>
internal static class DeviceTypeBuilder
{
    public static void Build(DesignParts parts)
    {
        var ids = new IdRegistry<ElementKind>("device type");
        foreach (var written in parts.Config.DeviceTypes)
        {
            var type = BuildType(parts, written);
            if (ids.Take(parts.Problems, written.Id, default, written.At))
            {
                parts.DeviceTypes.Add(type.Id, type);
            }
        }
    }

    private static DeviceType BuildType(DesignParts parts, DeviceTypeConfig written)
    {
        var id = written.Id?.Value ?? "";
        var values = new ValueReader(parts.Problems, id, written.At);
        var poeClass = (PoeClass)values.Whole(written.Class, DesignNumbers.PoeClass);
        var takesExtendedPower = values.Choice(written.ExtendedPower, DesignChoices.ExtendedPower);
        var physical = written.Physical.TypicalWatts is null ? null : PhysicalDemandBuilder.Build(values, written, poeClass, takesExtendedPower);
        var type = new DeviceType(
            id,
            written.Name?.Value ?? id,
            poeClass,
            physical?.Typical ?? values.Power(written.DemandWatts, DesignNumbers.Demand),
            BuildDemands(parts, values, written))
        {
            TakesExtendedPower = takesExtendedPower,
            Physical = physical,
            Source = written.Source?.Value ?? "",
            WrittenIn = written.At.File,
        };
        CheckOneWay(parts.Problems, written, id);
        CheckClassCoversDemand(parts.Problems, written, type);
        CheckExtendedPower(parts.Problems, written, type);
        return type;
    }

    private static ImmutableDictionary<string, Power> BuildDemands(DesignParts parts, ValueReader values, DeviceTypeConfig written)
    {
        var demands = ImmutableDictionary.CreateBuilder<string, Power>(StringComparer.Ordinal);
        foreach (var demand in written.Demands)
        {
            var known = parts.LoadCases.Select(loadCase => loadCase.Id);
            if (!known.Contains(demand.LoadCase.Value, StringComparer.Ordinal))
            {
                parts.Problems.Error(
                    "unknown-load-case", demand.LoadCase, values.Element, $"There is no load case '{demand.LoadCase.Value}'.",
                    $"{Suggestion.Hint(demand.LoadCase.Value, known)}Name a load case listed under 'load-cases' or taken under 'standard-load-cases'.");
            }

            demands[demand.LoadCase.Value] = values.Power(demand.Watts, DesignNumbers.LoadCaseDemand);
        }

        return demands.ToImmutable();
    }

    // With one figure for all cases nothing written by condition could ever count.
    private static void CheckOneWay(ProblemList problems, DeviceTypeConfig written, string id)
    {
        var physical = written.Physical;
        var byCondition = physical.TypicalWatts ?? physical.IdleWatts ?? physical.PeakWatts ?? physical.HeaterStartsCelsius ?? physical.BootPeakWatts ?? physical.BootSeconds
            ?? physical.Adds.Concat(physical.Takes).FirstOrDefault()?.Figure;
        if (byCondition is null || (physical.TypicalWatts is not null && written.DemandWatts is null))
        {
            return;
        }

        problems.Taint(id);
        if (written.DemandWatts is { } demand)
        {
            problems.Error(
                "demand-said-twice", demand, id, "'demand-w' is one figure for all load cases, and there are figures by condition beside it.",
                "Keep 'demand-w' (with 'demands-w' where a load case differs), or 'typical-w' with what each condition adds or takes.");
        }
        else
        {
            problems.Error(
                "missing", byCondition, id, "'typical-w' is missing, which all figures by condition rest on.", "Write 'typical-w': watts on a mild, quiet day.");
        }
    }

    private static void CheckClassCoversDemand(ProblemList problems, DeviceTypeConfig written, DeviceType type)
    {
        var allowed = PoeTables.LimitsOf(type.RequestedClass, PoeClause.Clause145).PdMaximumInput;
        var figures = written.Demands.Select(d => d.Watts).Concat(PhysicalDemandBuilder.Watts(written.Physical))
            .Append(written.DemandWatts).OfType<Written<string>>();

        // How much more than its class a device with extended power may take, its channel decides: the run is held to that.
        if (problems.IsTainted(type.Id) || type.TakesExtendedPower || figures.MaxBy(Watts) is not { } at || Watts(at) <= allowed.Watts)
        {
            return;
        }

        problems.Taint(type.Id);
        problems.Error(
            "demand-above-class", at, type.Id,
            $"A device of class {(int)type.RequestedClass} may draw at most {allowed} at its input, {Power.FromWatts(Watts(at))} are demanded.",
            "Raise 'class', or lower the demand to what the device needs.");
    }

    private static void CheckExtendedPower(ProblemList problems, DeviceTypeConfig written, DeviceType type)
    {
        if (type.TakesExtendedPower && type.RequestedClass is not (PoeClass.Class6 or PoeClass.Class8))
        {
            problems.Error(
                "extended-power-of-class", written.ExtendedPower!, type.Id, $"A device of class {(int)type.RequestedClass} knows no extended power.",
                "Remove 'extended-power': only classes 6 and 8 have it.");
        }
    }

    private static double Watts(Written<string> written) => double.Parse(written.Value, CultureInfo.InvariantCulture);
}
