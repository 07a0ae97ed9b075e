using PoeWatch.TestKit.Snmp;

namespace PoeWatch.Snmp.Tests;

/// <summary>
/// Goal: whatever an agent sends, a walk ends with the agent's sound values or says why not, no exception is caught on the receive thread,
/// and what a hostile datagram costs stays small. Method: real loopback sockets, each hostility before each sound answer.
/// </summary>
public sealed class HostileAgentTests
{
    private static readonly Oid Detection = Oid.Parse("1.3.6.1.2.1.105.1.1.1.6");
    private static readonly Oid Classification = Oid.Parse("1.3.6.1.2.1.105.1.1.1.10");
    private static readonly Oid SysUpTime = Oid.Parse("1.3.6.1.2.1.1.3.0");

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    private static HostileAgent AgentOf(Hostility hostility)
    {
        HostileAgent agent = new(hostility);
        agent.Table.Set(SysUpTime, SnmpValue.TimeTicks(4711));
        for (uint port = 1; port <= 48; port++)
        {
            agent.Table.Set(Detection.Append(1, port), SnmpValue.Integer32((int)port));
            agent.Table.Set(Classification.Append(1, port), SnmpValue.Integer32(5));
        }

        return agent;
    }

    /// <summary>Hostile datagrams that do not match the request, or are no whole message: the sound answer behind them counts.</summary>
    [Theory]
    [InlineData(Hostility.EveryTruncation)]
    [InlineData(Hostility.NestedSequences)]
    [InlineData(Hostility.LengthBombs)]
    [InlineData(Hostility.TooManyVariables)]
    [InlineData(Hostility.ForbiddenLengths)]
    [InlineData(Hostility.WrongIds)]
    [InlineData(Hostility.Replays)]
    [InlineData(Hostility.Flood)]
    [InlineData(Hostility.ImpossibleNames)]
    [InlineData(Hostility.ForeignSource)]
    [InlineData(Hostility.OtherVersions)]
    [InlineData(Hostility.SlowDrip)]
    public async Task Walk_brings_the_sound_values(Hostility hostility)
    {
        await using HostileAgent agent = AgentOf(hostility);
        await using SnmpClient client = new(TimeProvider.System);
        SnmpTarget target = new(agent.Endpoint, new CommunityCredentials("public"), TimeSpan.FromSeconds(5), retries: 2);

        using WalkResult walk = await new BulkWalker(client, TimeProvider.System)
            .WalkAsync(target, new WalkRequest([Detection, Classification], [SysUpTime]), new WalkState(), Token);

        Assert.Equal(WalkEnding.Complete, walk.Ending);
        Assert.All(walk.Columns, column => Assert.Equal(48, column.Length));
        Assert.Equal(Enumerable.Range(1, 48).Select(n => SnmpValue.Integer32(n)), walk.Columns[0].Cells.Select(cell => cell.Value));
        Assert.Equal(SnmpValue.TimeTicks(4711), walk.Instances[0].Value);
        Assert.Equal(0, client.Statistics.Faults);
        Assert.True(hostility == Hostility.SlowDrip || agent.Hostile > 0, "the agent was not hostile: the test proves nothing");
    }

    /// <summary>A response under the right id is believed in v2c, whoever wrote it: it may end a walk, but never as a number it is not.</summary>
    [Fact]
    public async Task Values_of_wrong_types_are_no_numbers_of_ports()
    {
        await using HostileAgent agent = AgentOf(Hostility.WrongTypes);
        await using SnmpClient client = new(TimeProvider.System);
        SnmpTarget target = new(agent.Endpoint, new CommunityCredentials("public"), TimeSpan.FromSeconds(5), retries: 0);
        BulkWalker walker = new(client, TimeProvider.System);
        WalkState state = new();
        WalkRequest request = new([Detection, Classification], [SysUpTime]);
        for (int i = 0; i < 20; i++)
        {
            using WalkResult walk = await walker.WalkAsync(target, request, state, Token);

            Assert.NotEqual(WalkEnding.Unknown, walk.Ending);
            Assert.All(walk.Columns.SelectMany(column => column.Cells), cell => Assert.NotNull(cell.ToString()));
        }

        Assert.Equal(0, client.Statistics.Faults);
    }

    [Fact]
    public async Task Names_that_turn_in_circles_end_the_column()
    {
        await using ScriptedAgent agent = new();
        for (uint port = 1; port <= 20; port++)
        {
            agent.Table.Set(Detection.Append(1, port), SnmpValue.Integer32(3));
        }

        // After row 10 the agent starts again with row 1, as broken agents do.
        agent.Table.Circle(from: Detection.Append(1, 10), to: Detection.Append(1, 1));
        await using SnmpClient client = new(TimeProvider.System);
        SnmpTarget target = new(agent.Endpoint, new CommunityCredentials("public"), TimeSpan.FromSeconds(5), retries: 0);

        using WalkResult walk = await new BulkWalker(client, TimeProvider.System)
            .WalkAsync(target, new WalkRequest([Detection]), new WalkState(), Token);

        Assert.Equal(WalkEnding.NotIncreasing, walk.Ending);
        Assert.Equal((10, false), (walk.Columns[0].Length, walk.Columns[0].IsComplete));
    }
}
