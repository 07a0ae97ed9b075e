using System.Collections.Immutable;

namespace PoeWatch.Monitoring.Tests.Year;

/// <summary>What happens in any year and must raise nothing: paging, agents that restart. Day and night, seasons, heaters, schedules and noise are the world's own.</summary>
internal static class YearLife
{
    private static readonly ImmutableArray<string> s_agents = ["quay-west", "quay-east", "north-pier", "cabinet"];

    public static ImmutableArray<string> Of(YearPlan plan)
    {
        var lines = ImmutableArray.CreateBuilder<string>();
        for (var day = 0; day < plan.Days; day++)
        {
            if (plan.Chance.NextDouble() < 0.3)
            {
                var from = TimeSpan.FromDays(day) + plan.Hours(6, 22);
                lines.Add(YearPlan.At(from, "load-case paging-all begins"));
                lines.Add(YearPlan.At(from + plan.Hours(0.02, 0.3), "load-case paging-all ends"));
            }

            if (plan.Chance.NextDouble() < 0.15)
            {
                lines.Add(YearPlan.At(TimeSpan.FromDays(day) + plan.Hours(0, 23), $"agent {plan.OneOf(s_agents)} restarts"));
            }
        }

        return lines.ToImmutable();
    }
}
