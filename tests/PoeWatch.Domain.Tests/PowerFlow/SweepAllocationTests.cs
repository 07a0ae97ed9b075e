using PoeWatch.Domain.PowerFlow;

namespace PoeWatch.Domain.Tests.PowerFlow;

/// <summary>The sweep is called a million times where a design is large: it must not leave anything for the garbage collector.</summary>
public sealed class SweepAllocationTests
{
    [Fact]
    public void A_sweep_allocates_nothing()
    {
        FlowState[] states = [.. Enumerable.Range(1, 50).Select(seed => RandomRuns.From(seed)).Select(drawn => new FlowState(new FlowTree(drawn.Run, drawn.Mode), drawn.Demand))];
        SolveAll(states);

        var before = GC.GetAllocatedBytesForCurrentThread();
        SolveAll(states);

        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
    }

    private static void SolveAll(FlowState[] states)
    {
        foreach (var state in states)
        {
            FlowSweep.Solve(state);
        }
    }
}
