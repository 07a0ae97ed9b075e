using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Simulator.Faults;
using PoeWatch.Simulator.World;

namespace PoeWatch.Simulator.Tests.World;

/// <summary>A simulated port sets aside what the product reckons that a PSE of its type sets aside.</summary>
public sealed class PortReserveTests
{
    // Clause 33 has class 3 at 15.4 W (TI TPS2378 Table 1), clause 145 at 14 W (from memory; 50 V behind 12.5 ohm give 13.98 W for 13 W).
    [Theory]
    [InlineData(PoeType.Type2, 15.4)]
    [InlineData(PoeType.Type3, 14.0)]
    public void Class_is_worth_what_the_clause_of_the_port_says(PoeType type, double watts)
    {
        var shape = new PsePortShape(new PsePortRef("quay", 1, 1), Power.FromWatts(30), type, PoeClass.Class4, Criticality.Low, "");
        var machine = new PsePortMachine(shape);
        var load = new PortLoad(IsAttached: true, Power.FromWatts(9), PoeClass.Class3);

        var asked = machine.Ask(load, PortTrouble.None, null, isOffByPlan: false, AllocationPolicy.ByClass, TimeSpan.Zero);

        Assert.Equal(watts, asked!.Value.Reserve.Watts);
    }
}
