using System.Collections.Immutable;
using System.Globalization;
using PoeWatch.Domain.Design.Config;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>Load cases, device types and devices.</summary>
internal static class IntentBuilder
{
    private static readonly LoadCase Always = new("design", "Design", null, []);

    public static void Build(DesignParts parts)
    {
        BuildLoadCases(parts);
        BuildDeviceTypes(parts);
        foreach (var device in parts.Config.Devices)
        {
            BuildDevice(parts, device);
        }
    }

    private static void BuildLoadCases(DesignParts parts)
    {
        var ids = new IdRegistry<ElementKind>("load case");
        foreach (var written in parts.Config.LoadCases)
        {
            var id = written.Id?.Value ?? "";
            var window = written.Hours is null ? (DailyWindow?)null : DailyWindows.Read(parts.Problems, written.Hours, id, "hours");
            var values = new ValueReader(parts.Problems, id, written.At);
            var months = written.Months.Select(m => values.WholeOrNull(m, DesignNumbers.Month)).OfType<int>().ToImmutableSortedSet();
            if (ids.Take(parts.Problems, written.Id, default, written.At))
            {
                parts.LoadCases.Add(new LoadCase(id, written.Name?.Value ?? id, window, months));
            }
        }

        if (parts.LoadCases.Count == 0)
        {
            parts.LoadCases.Add(Always);
        }
    }

    private static void BuildDeviceTypes(DesignParts parts)
    {
        var ids = new IdRegistry<ElementKind>("device type");
        foreach (var written in parts.Config.DeviceTypes)
        {
            var id = written.Id?.Value ?? "";
            var values = new ValueReader(parts.Problems, id, written.At);
            var type = new DeviceType(
                id,
                written.Name?.Value ?? id,
                (PoeClass)values.Whole(written.Class, DesignNumbers.PoeClass),
                values.Power(written.DemandWatts, DesignNumbers.Demand),
                BuildDemands(parts, values, written))
            {
                TakesExtendedPower = values.Choice(written.ExtendedPower, DesignChoices.ExtendedPower),
            };
            CheckClassCoversDemand(parts.Problems, written, type);
            CheckExtendedPower(parts.Problems, written, type);
            if (ids.Take(parts.Problems, written.Id, default, written.At))
            {
                parts.DeviceTypes.Add(id, type);
            }
        }
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
                    $"{Suggestion.Hint(demand.LoadCase.Value, known)}Name a load case listed under 'load-cases'.");
            }

            demands[demand.LoadCase.Value] = values.Power(demand.Watts, DesignNumbers.LoadCaseDemand);
        }

        return demands.ToImmutable();
    }

    private static void CheckClassCoversDemand(ProblemList problems, DeviceTypeConfig written, DeviceType type)
    {
        var most = type.DemandByLoadCase.Values.Append(type.Demand).Max();
        var allowed = PoeTables.LimitsOf(type.RequestedClass, PoeClause.Clause145).PdMaximumInput;

        // How much more than its class a device with extended power may take, its channel decides: the run is held to that.
        if (!problems.IsTainted(type.Id) && !type.TakesExtendedPower && most > allowed)
        {
            problems.Taint(type.Id);
            var at = written.Demands.Select(d => d.Watts).Append(written.DemandWatts!)
                .First(w => double.Parse(w.Value, CultureInfo.InvariantCulture) >= most.Watts);
            problems.Error(
                "demand-above-class", at, type.Id,
                $"A device of class {(int)type.RequestedClass} may draw at most {allowed} at its input, {most} are demanded.",
                "Raise 'class', or lower the demand to what the device needs.");
        }
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

    private static void BuildDevice(DesignParts parts, DeviceConfig written)
    {
        var id = written.Id?.Value ?? "";
        var values = new ValueReader(parts.Problems, id, written.At);
        var type = values.Text(written.Type, "type", "a device type listed under 'device-types'");
        if (written.Type is not null && !parts.DeviceTypes.ContainsKey(type))
        {
            parts.Problems.Taint(id);
            parts.Problems.Error(
                "unknown-device-type", written.Type, id, $"There is no device type '{type}'.",
                $"{Suggestion.Hint(type, parts.DeviceTypes.Keys)}Name a device type listed under 'device-types'.");
        }

        var device = new PoweredDevice(
            id, written.Name?.Value ?? id, type, References.Pole(parts, written.Pole, id), values.Choice(written.Criticality, DesignChoices.Criticality));
        if (parts.Elements.Take(parts.Problems, written.Id, ElementKind.Device, written.At))
        {
            parts.Devices.Add(id, device);
        }
    }
}
