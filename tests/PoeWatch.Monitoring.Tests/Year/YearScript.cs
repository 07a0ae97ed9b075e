using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Simulator.Faults;
using PoeWatch.Simulator.World;

namespace PoeWatch.Monitoring.Tests.Year;

/// <summary>
/// All that happens in a year by a seed: faults with their truth, and what belongs to life and must raise nothing. The fault script is what
/// the simulated harbour plays; the truth stays here.
/// </summary>
internal sealed record YearScript(int Seed, int Days, ImmutableArray<YearFault> Faults, ImmutableArray<string> Life, ImmutableArray<TimeSpan> ServiceRestarts)
{
    public string Text => string.Join('\n', Faults.SelectMany(fault => fault.Lines).Concat(Life));

    public FaultScript Read(DesignModel design)
    {
        var reading = FaultScriptText.Read(Text, design);
        return reading.Script ?? throw new InvalidOperationException(string.Join(Environment.NewLine, reading.Problems));
    }

    /// <param name="calm">The same world without faults, for what its devices draw of themselves.</param>
    public static YearScript Make(int seed, int days, int faults, DesignModel design, SimulatedWorld calm)
    {
        var plan = new YearPlan(seed, days, design);
        var kinds = YearKinds.Of(plan, calm);
        var found = new List<YearFault>(faults);
        foreach (var kind in YearKinds.Shares(kinds, days, faults))
        {
            YearFault? fault = null;
            for (var tries = 0; fault is null && tries < 50; tries++)
            {
                fault = kind.Draw();
            }

            found.Add(fault ?? throw new InvalidOperationException($"The year has no room for one more fault of the kind '{kind.Name}'."));
        }

        var life = YearLife.Of(plan);
        var restarts = Enumerable.Range(1, days / 80).Select(i => TimeSpan.FromDays((80 * i) - plan.Between(5, 30))).ToImmutableArray();
        return new YearScript(seed, days, [.. found.OrderBy(fault => fault.From).Select((fault, i) => fault with { Number = i + 1 })], life, restarts);
    }
}
