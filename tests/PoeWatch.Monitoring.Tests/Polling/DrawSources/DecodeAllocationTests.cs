using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Polling;
using PoeWatch.Monitoring.Polling.DrawSources;
using static PoeWatch.Monitoring.Tests.Polling.DrawSources.Answers;

namespace PoeWatch.Monitoring.Tests.Polling.DrawSources;

/// <summary>
/// What decoding one poll of a 48-port switch leaves behind. The bounds are our own, set a little above what was seen: they catch a
/// set, a list or a name a port that somebody adds to the way of each poll.
/// </summary>
public sealed class DecodeAllocationTests
{
    private const int Ports = 48;
    private const int Polls = 20;
    private const string Milliwatts = "1.3.6.1.4.1.99999.1.1.1";

    private static readonly SnmpAgent s_agent = new("192.0.2.1", 161, "lab", TimeSpan.FromMinutes(1), new DrawColumn(Milliwatts, DrawUnit.Milliwatt, DrawIndex.Port));

    private static readonly PollTarget s_target = new(
        "s", s_agent, PortTypes.Of(Enumerable.Range(1, Ports).Select(port => KeyValuePair.Create(new PsePortRef("s", 1, port), PoeType.Type2))));

    [Fact]
    public void Ports_that_read_as_before_cost_nothing_a_port()
    {
        FastAnswers poll = Poll(port => 5_000 + port);
        var draws = new AgentDraws(s_agent.DrawColumn);

        DecodedPoll first = draws.Decode(s_target, poll, TimeSpan.Zero, null);
        var bytes = BytesOf(draws, [poll]);

        Assert.Equal(Provenance.Measured, first.Ports[0].Provenance);
        Assert.Same(first.Ports[0], draws.Decode(s_target, poll, TimeSpan.Zero, null).Ports[0]);
        Assert.InRange(bytes, 1, 1_500);
    }

    [Fact]
    public void Ports_that_all_changed_cost_their_readings_and_little_more()
    {
        var draws = new AgentDraws(s_agent.DrawColumn);
        FastAnswers[] polls = [Poll(port => 5_000 + port), Poll(port => 6_000 + port)];

        draws.Decode(s_target, polls[0], TimeSpan.Zero, null);
        var bytes = BytesOf(draws, polls);

        Assert.Equal(6.001, draws.Decode(s_target, polls[1], TimeSpan.Zero, null).Ports[0].DrawAtPse!.Value.Watts, 6);
        Assert.InRange(bytes, Ports * 80, 8_000);
    }

    private static long BytesOf(AgentDraws draws, FastAnswers[] polls)
    {
        for (var i = 0; i < Polls; i++)
        {
            draws.Decode(s_target, polls[i % polls.Length], TimeSpan.Zero, null);
        }

        var before = GC.GetAllocatedBytesForCurrentThread();
        for (var i = 0; i < Polls; i++)
        {
            draws.Decode(s_target, polls[i % polls.Length], TimeSpan.Zero, null);
        }

        return (GC.GetAllocatedBytesForCurrentThread() - before) / Polls;
    }

    private static FastAnswers Poll(Func<int, int> milliwatts)
    {
        var all = Enumerable.Range(1, Ports).ToArray();
        return new FastAnswers(
            Column(PoeOids.PortState.ToString(), [.. all.Select(port => ($"1.{port}", Number(3)))]),
            Column(PoeOids.PortClass.ToString(), [.. all.Select(port => ($"1.{port}", Number(4)))]),
            Column(PoeOids.GroupBudget.ToString(), ("1", Number(740))),
            Column(PoeOids.GroupStatus.ToString(), ("1", Number(1))),
            Column(PoeOids.GroupDraw.ToString(), ("1", Number(all.Sum(milliwatts) / 1000))),
            Column(Milliwatts, [.. all.Select(port => ($"{port}", Number(milliwatts(port))))]));
    }
}
