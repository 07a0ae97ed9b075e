using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using static PoeWatch.TestKit.Design.CableRunBuilder;

namespace PoeWatch.Domain.Tests.PowerFlow;

/// <summary>
/// The class table of IEEE 802.3 must come out of volts, ohms and the PD's watts alone. Table: Ethernet Alliance, overview of IEEE 802.3bt
/// (2018); TI TPS2378 Table 1 and TPS2379 Table 2 for Types 1 and 2. Tolerance 0.2 % of the table, which is rounded itself.
/// </summary>
public sealed class ClassTableTests
{
    [Theory]
    [InlineData(PoeClass.Class1, PoeType.Type1, 2, 3.84, 4.0)]
    [InlineData(PoeClass.Class2, PoeType.Type1, 2, 6.49, 7.0)]
    [InlineData(PoeClass.Class3, PoeType.Type1, 2, 12.95, 15.4)]
    [InlineData(PoeClass.Class4, PoeType.Type2, 2, 25.5, 30.0)]
    [InlineData(PoeClass.Class5, PoeType.Type3, 4, 40.0, 45.0)]
    [InlineData(PoeClass.Class6, PoeType.Type3, 4, 51.0, 60.0)]
    [InlineData(PoeClass.Class7, PoeType.Type4, 4, 62.0, 75.0)]
    [InlineData(PoeClass.Class8, PoeType.Type4, 4, 71.3, 90.0)]
    public void Guaranteed_mode_over_100_m_reproduces_the_class_table(PoeClass requested, PoeType type, int pairs, double pdWatts, double pseWatts)
    {
        var run = OnPort(Device("pd", Cable(100, awg: 24, pairs), requested), limitWatts: pseWatts, type);

        var result = PowerFlowSolver.Solve(run, new Dictionary<string, Power> { ["pd"] = Power.FromWatts(pdWatts) }, OperatingMode.Guaranteed);

        Assert.Equal(FlowOutcome.Solved, result.Outcome);
        Assert.Equal(pseWatts, result.DrawAtPse!.Value.Watts, 0.002 * pseWatts);
        Assert.Empty(result.Broken);
    }
}
