using System.Collections.Immutable;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Readings.Changes;
using PoeWatch.Monitoring.Polling.Changes;
using PoeWatch.Monitoring.Tests.Polling.DrawSources;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Tests.Polling.Changes;

/// <summary>
/// Goal: what came and went between two readings of the fault counters is told port by port. Method: columns written by hand, as RFC 3621 indexes them
/// (group and port), and readings at random held against the same counters in a plain table.
/// </summary>
public class PortCounterWatchTests
{
    private static readonly int[] s_columns = [8, 11, 12, 13, 14];

    private readonly PortCounterWatch _watch = new();

    [Fact]
    public void The_first_reading_tells_nothing_and_the_second_what_happened_since()
    {
        Assert.Empty(_watch.Take("quay", [Column(8, ("1.1", 7), ("1.2", 4)), Column(12, ("1.2", 1))], TimeSpan.FromMinutes(5)));

        var events = Assert.Single(_watch.Take("quay", [Column(8, ("1.1", 7), ("1.2", 6)), Column(11), Column(12, ("1.2", 4))], TimeSpan.FromMinutes(10)));

        Assert.Equal((new PsePortRef("quay", 1, 2), TimeSpan.FromMinutes(5), 2u, 0u, 0u), (events.Port, events.Over, events.MpsAbsent, events.InvalidSignature, events.PowerDenied));
    }

    [Fact]
    public void A_port_that_was_not_there_before_tells_nothing_and_one_that_is_gone_neither()
    {
        _watch.Take("quay", [Column(8, ("1.1", 1), ("1.2", 2))], TimeSpan.FromMinutes(5));

        var events = _watch.Take("quay", [Column(8, ("1.2", 3), ("2.1", 9))], TimeSpan.FromMinutes(10));

        Assert.Equal(new PsePortRef("quay", 1, 2), Assert.Single(events).Port);
    }

    [Fact]
    public void After_a_change_of_the_agent_the_next_reading_is_a_first_one()
    {
        _watch.Take("quay", [Column(8, ("1.1", 1))], TimeSpan.FromMinutes(5));
        _watch.Forget();

        Assert.Null(_watch.AskedAt);
        Assert.Empty(_watch.Take("quay", [Column(8, ("1.1", 5))], TimeSpan.FromMinutes(10)));
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void Readings_at_random_tell_what_a_plain_table_tells(int seed)
    {
        var random = new Random(seed);
        Dictionary<PsePortRef, PortCounts> before = [];
        for (var reading = 0; reading < 50; reading++)
        {
            var cells = new Dictionary<(int Column, PsePortRef Port), uint>();
            foreach (var column in s_columns)
            {
                foreach (var port in Enumerable.Range(1, 12).Where(_ => random.Next(8) > 0))
                {
                    cells[(column, new PsePortRef("quay", 1 + (port / 9), port))] = (uint)(reading * random.Next(3));
                }
            }

            WalkColumn[] columns = [.. s_columns.Select(c => Column(c, [.. cells.Where(cell => cell.Key.Column == c).Select(cell => ($"{cell.Key.Port.Group}.{cell.Key.Port.Port}", cell.Value))]))];
            uint? Cell(int column, PsePortRef port) => cells.TryGetValue((column, port), out var value) ? value : null;
            Dictionary<PsePortRef, PortCounts> now = cells.Keys.Select(key => key.Port).Distinct()
                .ToDictionary(port => port, port => new PortCounts(Cell(8, port), Cell(11, port), Cell(12, port), Cell(13, port), Cell(14, port)));

            ImmutableArray<PortEvents> told = _watch.Take("quay", columns, TimeSpan.FromMinutes(reading));

            PortEvents[] meant =
            [
                .. now.Where(_ => reading > 0).Where(port => before.ContainsKey(port.Key))
                    .Select(port => PortEvents.Between(port.Key, before[port.Key], port.Value, TimeSpan.FromMinutes(1)))
                    .Where(events => !events.IsQuiet).OrderBy(events => events.Port),
            ];
            Assert.Equal(meant, told);
            before = now;
        }
    }

    private static WalkColumn Column(int column, params (string Index, uint Value)[] cells) =>
        Answers.Column($"1.3.6.1.2.1.105.1.1.1.{column}", [.. cells.Select(cell => (cell.Index, SnmpValue.Counter32(cell.Value)))]);
}
