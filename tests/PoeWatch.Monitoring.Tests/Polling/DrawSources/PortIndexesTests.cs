namespace PoeWatch.Monitoring.Tests.Polling.DrawSources;

/// <summary>Goal: every port is found at its place and no other is. Method: ports at random, with gaps and several groups, against the list itself.</summary>
public class PortIndexesTests
{
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void A_port_is_found_at_its_place_whatever_gaps_the_numbers_have(int seed)
    {
        var random = new Random(seed);
        var indexes = Answers.Ports([.. Enumerable.Range(0, 60).Select(_ => (random.Next(1, 4), random.Next(1, 60))).Distinct()]);

        for (var group = 0; group <= 4; group++)
        {
            for (var port = 0; port <= 61; port++)
            {
                var place = indexes.Slot(group, port);
                var meant = indexes.Ports.Select((p, at) => (p, at)).Where(p => p.p.Group == group && p.p.Port == port).Select(p => p.at).DefaultIfEmpty(-1).Single();
                Assert.Equal(meant, place);
            }
        }
    }
}
