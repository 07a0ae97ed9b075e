using System.Collections.Immutable;
using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Design.Config;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>Load cases: the design's own, and the standard ones that it takes by name.</summary>
internal static class LoadCaseBuilder
{
    public static void Build(DesignParts parts)
    {
        var ids = new IdRegistry<ElementKind>("load case");
        foreach (var written in parts.Config.LoadCases)
        {
            BuildOwn(parts, ids, written);
        }

        foreach (var written in parts.Config.StandardLoadCases)
        {
            TakeStandard(parts, written);
        }

        if (parts.LoadCases.Count == 0)
        {
            parts.LoadCases.Add(StandardLoadCases.Unnamed);
        }
    }

    private static void BuildOwn(DesignParts parts, IdRegistry<ElementKind> ids, LoadCaseConfig written)
    {
        var id = written.Id?.Value ?? "";
        var values = new ValueReader(parts.Problems, id, written.At);
        var window = written.Hours is null ? (DailyWindow?)null : DailyWindows.Read(parts.Problems, written.Hours, id, "hours");
        var months = written.Months.Select(m => values.WholeOrNull(m, DesignNumbers.Month)).OfType<int>().ToImmutableSortedSet();
        var conditions = written.Conditions.Select(c => values.Choice(c, DesignChoices.Condition)).ToImmutableSortedSet();
        var loadCase = new LoadCase(id, written.Name?.Value ?? id, window, months)
        {
            Conditions = conditions,
            Ambient = values.NumberOrNull(written.AmbientCelsius, DesignNumbers.LoadCaseAmbient) is { } celsius ? Temperature.FromCelsius(celsius) : null,
            Coincidence = BuildCoincidence(values, written, conditions),
        };
        if (ids.Take(parts.Problems, written.Id, default, written.At))
        {
            parts.LoadCases.Add(loadCase);
        }
    }

    private static ImmutableSortedDictionary<LoadCondition, Ratio> BuildCoincidence(
        ValueReader values, LoadCaseConfig written, ImmutableSortedSet<LoadCondition> conditions)
    {
        var shares = ImmutableSortedDictionary.CreateBuilder<LoadCondition, Ratio>();
        foreach (var (name, figure) in written.Coincidence)
        {
            var condition = values.Choice(name, DesignChoices.Condition);
            var share = values.NumberOrNull(figure, DesignNumbers.Coincidence) ?? 1;
            if (share < 1 && condition is (LoadCondition.PagingAll or LoadCondition.Cold))
            {
                values.Problems.Error(
                    "coincidence-too-low", figure, values.Element,
                    condition == LoadCondition.Cold ? "Heaters all run in the cold: their coincidence is never below 1." : "Paging to all is all at once: its coincidence is never below 1.",
                    "Write 1, or remove the factor; where only some page, name 'paging-one' or 'paging-group' instead.");
            }
            else if (!conditions.Contains(condition))
            {
                values.Problems.Error(
                    "coincidence-without-condition", name, values.Element, $"The load case does not name the condition '{name.Value}' that it lowers.",
                    "Add it to 'conditions', or remove the factor.");
            }

            shares[condition] = Ratio.FromFraction(share);
        }

        return shares.ToImmutable();
    }

    // A case of the same name that the design itself describes wins.
    private static void TakeStandard(DesignParts parts, Written<string> written)
    {
        var taken = StandardLoadCases.All.Where(c => written.Value == StandardLoadCases.AllWord || c.Id == written.Value).ToList();
        if (taken.Count == 0)
        {
            var known = StandardLoadCases.All.Select(c => c.Id).Append(StandardLoadCases.AllWord).ToList();
            parts.Problems.Error(
                "unknown-load-case", written, "", $"There is no standard load case '{written.Value}'.",
                $"{Suggestion.Hint(written.Value, known)}Write one of {string.Join(", ", known)}.");
        }

        parts.LoadCases.AddRange(taken.Where(c => parts.LoadCases.TrueForAll(other => other.Id != c.Id)));
    }
}
