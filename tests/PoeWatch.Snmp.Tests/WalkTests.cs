using PoeWatch.TestKit.Snmp;

namespace PoeWatch.Snmp.Tests;

/// <summary>Walks over real loopback sockets. Names are those of POWER-ETHERNET-MIB (RFC 3621).</summary>
public sealed class WalkTests : IAsyncLifetime
{
    private static readonly Oid SysUpTime = Oid.Parse("1.3.6.1.2.1.1.3.0");
    private static readonly Oid MainPower = Oid.Parse("1.3.6.1.2.1.105.1.3.1.1.2.1");
    private static readonly Oid Detection = Oid.Parse("1.3.6.1.2.1.105.1.1.1.6");
    private static readonly Oid Classification = Oid.Parse("1.3.6.1.2.1.105.1.1.1.10");
    private static readonly Oid ShortCounter = Oid.Parse("1.3.6.1.2.1.105.1.1.1.14");

    private readonly ScriptedAgent _agent = new();
    private readonly SnmpClient _client = new(TimeProvider.System);
    private readonly WalkState _state = new();
    private BulkWalker _walker = null!;
    private SnmpTarget _target = null!;

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    public ValueTask InitializeAsync()
    {
        _agent.Table.Set(SysUpTime, SnmpValue.TimeTicks(4711));
        _agent.Table.Set(MainPower, SnmpValue.Gauge32(720));
        for (uint port = 1; port <= 48; port++)
        {
            _agent.Table.Set(Detection.Append(1, port), SnmpValue.Integer32(3));
            _agent.Table.Set(Classification.Append(1, port), SnmpValue.Integer32(5));
            _agent.Table.Set(ShortCounter.Append(1, port), SnmpValue.Counter32(port));
        }

        _walker = new BulkWalker(_client, TimeProvider.System);
        _target = new SnmpTarget(_agent.Endpoint, new CommunityCredentials("public"), TimeSpan.FromSeconds(10), retries: 0);
        return ValueTask.CompletedTask;
    }

    public async ValueTask DisposeAsync()
    {
        await _client.DisposeAsync();
        await _agent.DisposeAsync();
    }

    private Task<WalkResult> WalkAsync(int maxRequests = 500, int maxCells = 50_000) => _walker.WalkAsync(
        _target,
        new WalkRequest([Detection, Classification, ShortCounter], [SysUpTime, MainPower], maxRequests, maxCells),
        _state,
        Token).AsTask();

    /// <summary>For walks in which the agent falls silent.</summary>
    private void BeImpatient() =>
        _target = new SnmpTarget(_agent.Endpoint, _target.Credentials, TimeSpan.FromMilliseconds(500), retries: 0);

    private static void AssertWhole(WalkResult result)
    {
        Assert.Equal(WalkEnding.Complete, result.Ending);
        Assert.All(result.Columns, column => Assert.Equal(48, column.Cells.Length));
        Assert.All(result.Columns, column => Assert.True(column.IsComplete));
        Assert.Equal(SnmpValue.Counter32(48), result.Columns[2].Cells[47].Value);
        Assert.Equal(ShortCounter.Append(1, 48), result.Columns[2].Cells[47].Oid);
    }

    [Fact]
    public async Task Columns_and_instances_come_whole_in_few_requests()
    {
        WalkResult result = await WalkAsync();

        AssertWhole(result);
        Assert.Equal([new(SysUpTime, SnmpValue.TimeTicks(4711)), new(MainPower, SnmpValue.Gauge32(720))], result.Instances);
        Assert.True(result.Requests <= 5, $"{result.Requests} requests");
    }

    [Fact]
    public async Task Second_walk_uses_what_the_first_one_learned()
    {
        int first = (await WalkAsync()).Requests;
        WalkResult second = await WalkAsync();

        AssertWhole(second);
        Assert.True(second.Requests <= first, $"{second.Requests} after {first}");
    }

    [Fact]
    public async Task Missing_instance_is_said_to_be_missing()
    {
        _agent.Table.Remove(MainPower);

        WalkResult result = await WalkAsync();

        Assert.Equal(SnmpValue.NoSuchInstance, result.Instances[1].Value);
        AssertWhole(result);
    }

    [Fact]
    public async Task Empty_table_is_complete_without_cells()
    {
        WalkResult result = await _walker.WalkAsync(_target, new WalkRequest([Oid.Parse("1.3.6.1.2.1.105.1.4.1.1.2")]), _state, Token);

        Assert.Equal(WalkEnding.Complete, result.Ending);
        Assert.Empty(result.Columns[0].Cells);
    }

    [Theory]
    [InlineData(484)]
    [InlineData(200)]
    public async Task Agent_with_small_answers_is_walked_whole(int bytes)
    {
        _agent.MaxResponseBytes = bytes;

        AssertWhole(await WalkAsync());
        AssertWhole(await WalkAsync());
        Assert.InRange(_state.Repetitions, 1, 7);
    }

    [Theory]
    [InlineData(12)]
    [InlineData(3)]
    [InlineData(1)]
    public async Task TooBig_halves_rows_then_columns(int maxCells)
    {
        _agent.MaxCellsAsked = maxCells;

        AssertWhole(await WalkAsync());
        int requests = (await WalkAsync()).Requests;
        Assert.True(requests <= (144 / maxCells) + 30, $"{requests} requests once the size is known");
    }

    [Fact]
    public async Task TooBig_for_ever_ends_the_walk()
    {
        _agent.Always = AgentFault.TooBig;

        WalkResult result = await WalkAsync();

        Assert.Equal(WalkEnding.RequestFailed, result.Ending);
        Assert.Equal(SnmpErrorStatus.TooBig, result.Failure!.ErrorStatus);
        Assert.InRange(result.Requests, 1, 10);
    }

    [Fact]
    public async Task Silence_on_large_requests_halves_them()
    {
        _agent.MaxCellsAsked = 15;
        _agent.OverloadFault = AgentFault.Silence;
        BeImpatient();

        AssertWhole(await WalkAsync());
    }

    [Fact]
    public async Task Silent_switch_that_has_answered_before_costs_one_request()
    {
        AssertWhole(await WalkAsync());
        _agent.Always = AgentFault.Silence;
        BeImpatient();

        WalkResult result = await WalkAsync();

        Assert.Equal((WalkEnding.RequestFailed, SnmpOutcome.Timeout), (result.Ending, result.Failure!.Outcome));
        Assert.Equal(1, result.Requests);
        Assert.False(result.HasAnswer);
    }

    [Fact]
    public async Task Silence_in_the_midst_keeps_what_was_answered()
    {
        _agent.Next(AgentFault.None);
        _agent.Always = AgentFault.Silence;
        BeImpatient();

        WalkResult result = await WalkAsync();

        Assert.Equal((WalkEnding.RequestFailed, SnmpOutcome.Timeout), (result.Ending, result.Failure!.Outcome));
        Assert.Equal(10, result.Columns[0].Cells.Length);
        Assert.False(result.Columns[0].IsComplete);
        Assert.Equal(SnmpValue.TimeTicks(4711), result.Instances[0].Value);
        Assert.True(result.HasAnswer);
    }

    [Fact]
    public async Task Oids_that_do_not_increase_end_the_walk()
    {
        _agent.Next(AgentFault.None);
        _agent.Always = AgentFault.StuckOids;

        WalkResult result = await WalkAsync();

        Assert.Equal(WalkEnding.NotIncreasing, result.Ending);
        Assert.All(result.Columns, column => Assert.Equal((10, false), (column.Cells.Length, column.IsComplete)));
        Assert.Equal(2, result.Requests);
    }

    [Fact]
    public async Task Empty_answer_ends_the_walk()
    {
        _agent.Always = AgentFault.Empty;

        WalkResult result = await WalkAsync();

        Assert.Equal((WalkEnding.EmptyAnswer, 1), (result.Ending, result.Requests));
    }

    [Fact]
    public async Task Column_that_the_agent_blames_is_given_up_alone()
    {
        _agent.Next(AgentFault.GenErr);

        WalkResult result = await WalkAsync();

        Assert.Equal(WalkEnding.RequestFailed, result.Ending);
        Assert.Equal(SnmpValue.Null, result.Instances[0].Value);
        Assert.All(result.Columns, column => Assert.Equal(48, column.Cells.Length));
    }

    [Fact]
    public async Task Requests_and_cells_are_bounded()
    {
        Assert.Equal(WalkEnding.LimitReached, (await WalkAsync(maxRequests: 1)).Ending);
        WalkResult result = await WalkAsync(maxCells: 7);
        Assert.Equal((WalkEnding.LimitReached, 7), (result.Ending, result.Columns.Sum(column => column.Cells.Length)));
    }

    /// <summary>All switches hang on the receive thread: whoever awaits a result must not hold it up.</summary>
    [Fact]
    public async Task Callers_code_never_runs_on_the_receive_thread()
    {
        for (int i = 0; i < 20; i++)
        {
            Assert.DoesNotContain("snmp-receive", await ThreadAfterAsync(WalkAsync()), StringComparison.Ordinal);
            Assert.DoesNotContain(
                "snmp-receive", await ThreadAfterAsync(_client.GetAsync(_target, [SysUpTime], Token)), StringComparison.Ordinal);
        }

        static Task<string> ThreadAfterAsync(Task task) => task.ContinueWith(
            _ => Thread.CurrentThread.Name ?? "", Token, TaskContinuationOptions.ExecuteSynchronously, TaskScheduler.Default);
    }
}
