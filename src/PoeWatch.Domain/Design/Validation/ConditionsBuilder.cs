using System.Collections.Immutable;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design.Config;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>How conditions come to be known. Comes after everything that has an agent.</summary>
internal static class ConditionsBuilder
{
    private const string Element = "conditions";
    private const int NameMax = 255;

    public static void Build(DesignParts parts)
    {
        if (parts.Config.Conditions is not { } written)
        {
            return;
        }

        var values = new ValueReader(parts.Problems, Element, written.At);
        var ids = new IdRegistry<ElementKind>("thermometer");
        parts.Conditions = new ConditionPlan(
            values.Number(written.DarkBelowDegrees, ConditionNumbers.DarkBelow),
            values.NumberOrNull(written.ColdBelowCelsius, ConditionNumbers.ColdBelow) is { } cold ? Temperature.FromCelsius(cold) : null,
            written.Climate is { } climate ? Climate(parts.Problems, climate) : null,
            [.. written.Thermometers.Select(t => Thermometer(parts, ids, t)).OfType<Thermometer>()])
        {
            WetMonths = [.. written.WetMonths.Select(m => values.WholeOrNull(m, DesignNumbers.Month)).OfType<int>()],
        };
    }

    private static SiteClimate? Climate(ProblemList problems, ClimateConfig written)
    {
        var values = new ValueReader(problems, Element + ".climate", written.At);
        var coldest = Months(values, written.ColdestCelsius, ConditionNumbers.Coldest);
        var warmest = Months(values, written.WarmestCelsius, ConditionNumbers.Warmest);
        if (coldest.IsEmpty || warmest.IsEmpty)
        {
            return null;
        }

        for (var month = 0; month < 12; month++)
        {
            if (warmest[month].CompareTo(coldest[month]) < 0)
            {
                problems.Error(
                    "climate-swapped", written.WarmestCelsius[month], values.Element,
                    $"In month {month + 1} the warmest ({warmest[month]}) lies below the coldest ({coldest[month]}).",
                    "Write the lowest temperature to be expected in the month under 'coldest-c' and the highest under 'warmest-c'.");
            }
        }

        return new SiteClimate(coldest, warmest);
    }

    /// <summary>Empty where they are not twelve numbers, which is reported.</summary>
    private static ImmutableArray<Temperature> Months(ValueReader values, ImmutableArray<Written<string>> written, NumberKey key)
    {
        if (written.Length != 12)
        {
            values.Problems.Error(
                "not-twelve-months", values.At, values.Element, written.Length.ToString(System.Globalization.CultureInfo.InvariantCulture),
                $"'{key.Name}' has {written.Length} numbers.", $"Write '{key.Name}' as a list of twelve temperatures, January first.");
            return [];
        }

        double?[] numbers = [.. written.Select(w => values.NumberOrNull(w, key))];
        return numbers.Contains(null) ? [] : [.. numbers.Select(n => Temperature.FromCelsius(n!.Value))];
    }

    private static Thermometer? Thermometer(DesignParts parts, IdRegistry<ElementKind> ids, ThermometerConfig written)
    {
        var id = written.Id?.Value ?? "";
        var values = new ValueReader(parts.Problems, id, written.At);
        var agent = values.Text(written.Agent, "agent", "the switch, injector or pass-through switch whose agent shows the temperature");
        if (written.Agent is not null && !parts.Agents.ContainsKey(agent))
        {
            parts.Problems.Error(
                "unknown-agent", written.Agent, id, $"There is nothing with an agent called '{agent}'.",
                $"{Suggestion.Hint(agent, parts.Agents.Keys)}Name a switch, or an injector or pass-through switch with an agent.");
        }

        if (written.PhysicalIndex is null == written.PhysicalName is null)
        {
            parts.Problems.Error(
                "thermometer-not-named", written.At, id, "", "A thermometer is found by its index or by its name: by one of them.",
                "Write either 'physical-index' (entPhysicalIndex) or 'physical-name' (entPhysicalName); the index may change when the agent restarts.");
        }

        if (written.PhysicalName is { Value.Length: > NameMax } name)
        {
            parts.Problems.Error(
                "name-too-long", name, id, "entPhysicalName has at most 255 characters (RFC 6933).", "Write the name as the agent shows it.");
        }

        var index = values.NumberOrNull(written.PhysicalIndex, ConditionNumbers.PhysicalIndex);
        return ids.Take(parts.Problems, written.Id, default, written.At)
            ? new Thermometer(id, agent, (int?)index, written.PhysicalName?.Value, written.Cabinet?.Value)
            : null;
    }
}
