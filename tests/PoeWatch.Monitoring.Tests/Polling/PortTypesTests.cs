using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Tests.Polling;

/// <summary>Goal: runs of ports answer as a table of them would. Method: ports at random, with gaps and several groups, against a dictionary.</summary>
public class PortTypesTests
{
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void Runs_of_ports_say_what_a_table_of_them_says(int seed)
    {
        var random = new Random(seed);
        var table = new Dictionary<PsePortRef, PoeType>();
        for (var i = 0; i < 60; i++)
        {
            table[new PsePortRef("quay", random.Next(1, 4), random.Next(1, 49))] = (PoeType)random.Next(1, 3);
        }

        var types = PortTypes.Of(table.OrderBy(_ => random.Next()));

        for (var group = 0; group <= 4; group++)
        {
            for (var number = 0; number <= 50; number++)
            {
                var port = new PsePortRef("quay", group, number);
                Assert.Equal(table.GetValueOrDefault(port), types.TypeOf(port));
            }
        }
    }

    [Fact]
    public void Where_the_design_has_no_port_nothing_is_known() => Assert.Equal(PoeType.Unknown, PortTypes.None.TypeOf(new PsePortRef("quay", 1, 1)));
}
