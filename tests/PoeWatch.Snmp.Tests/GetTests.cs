using PoeWatch.TestKit.Snmp;

namespace PoeWatch.Snmp.Tests;

/// <summary>Single requests over real loopback sockets, on the system's clock where nothing has to time out.</summary>
public sealed class GetTests : IAsyncLifetime
{
    private static readonly Oid SysName = Oid.Parse("1.3.6.1.2.1.1.5.0");
    private readonly ScriptedAgent _agent = new();
    private readonly SnmpClient _client = new(TimeProvider.System);
    private SnmpTarget _target = null!;

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    public ValueTask InitializeAsync()
    {
        _agent.Table.Set(SysName, SnmpValue.Text("quay-7"));
        _target = new SnmpTarget(_agent.Endpoint, new CommunityCredentials("public"), TimeSpan.FromSeconds(5));
        return ValueTask.CompletedTask;
    }

    public async ValueTask DisposeAsync()
    {
        await _client.DisposeAsync();
        await _agent.DisposeAsync();
    }

    [Fact]
    public async Task Get_brings_the_value_and_says_who_answered()
    {
        SnmpResult result = await _client.GetAsync(_target, [SysName], Token);

        Assert.Equal(SnmpOutcome.Answered, result.Outcome);
        Assert.Equal(new VarBind(SysName, SnmpValue.Text("quay-7")), Assert.Single(result.VarBinds));
        Assert.Equal(_agent.Endpoint, result.Responder);
        Assert.Equal(1, result.Attempts);
        Assert.True(result.RoundTrip > TimeSpan.Zero);
    }

    [Fact]
    public async Task Missing_instance_is_an_answer_without_a_number()
    {
        SnmpResult result = await _client.GetAsync(_target, [Oid.Parse("1.3.6.1.2.1.1.6.0")], Token);

        Assert.True(result.IsAnswered);
        Assert.Equal(SnmpType.NoSuchInstance, result.VarBinds[0].Value.Type);
        Assert.False(result.VarBinds[0].Value.TryGetInt64(out _));
    }

    [Fact]
    public async Task Agent_error_keeps_status_and_index()
    {
        _agent.Next(AgentFault.GenErr);

        SnmpResult result = await _client.GetAsync(_target, [SysName], Token);

        Assert.Equal(SnmpOutcome.AgentError, result.Outcome);
        Assert.Equal((SnmpErrorStatus.GenErr, 1), (result.ErrorStatus, result.ErrorIndex));
    }

    [Fact]
    public async Task Refusal_of_the_view_is_told_apart()
    {
        _agent.Next(AgentFault.AuthorizationError);

        SnmpResult result = await _client.GetAsync(_target, [SysName], Token);

        Assert.Equal(SnmpOutcome.AuthorizationError, result.Outcome);
    }

    [Fact]
    public async Task Hundred_requests_at_once_get_their_own_answers()
    {
        for (uint i = 0; i < 100; i++)
        {
            _agent.Table.Set(SysName.Append(i), SnmpValue.Gauge32(i));
        }

        SnmpResult[] results = await Task.WhenAll(
            Enumerable.Range(0, 100).Select(i => _client.GetAsync(_target, [SysName.Append((uint)i)], Token)));

        Assert.All(results.Index(), entry => Assert.Equal(SnmpValue.Gauge32((uint)entry.Index), entry.Item.VarBinds[0].Value));
    }

    [Fact]
    public async Task Ipv6_agent_is_asked_over_a_socket_of_its_own()
    {
        await using ScriptedAgent agent = new(address: System.Net.IPAddress.IPv6Loopback);
        agent.Table.Set(SysName, SnmpValue.Text("quay-8"));

        SnmpResult result = await _client.GetAsync(
            new SnmpTarget(agent.Endpoint, new CommunityCredentials("public")), [SysName], Token);

        Assert.Equal(SnmpOutcome.Answered, result.Outcome);
    }

    [Fact]
    public async Task Closing_the_client_ends_what_waits()
    {
        _agent.Always = AgentFault.Silence;
        Task<SnmpResult> waiting = _client.GetAsync(_target, [SysName], Token);
        await _agent.NextRequestAsync(Token);

        await _client.DisposeAsync();

        Assert.Equal(SnmpOutcome.Closed, (await waiting).Outcome);
        Assert.Equal(SnmpOutcome.Closed, (await _client.GetAsync(_target, [SysName], Token)).Outcome);
    }

    [Fact]
    public async Task Cancelling_is_an_outcome_and_leaves_nothing_waiting()
    {
        _agent.Always = AgentFault.Silence;
        using CancellationTokenSource cancel = new();
        Task<SnmpResult> waiting = _client.GetAsync(_target, [SysName], cancel.Token);
        await _agent.NextRequestAsync(Token);

        await cancel.CancelAsync();

        Assert.Equal(SnmpOutcome.Cancelled, (await waiting).Outcome);
    }

    [Fact]
    public async Task More_requests_than_may_wait_are_refused_at_once()
    {
        _agent.Always = AgentFault.Silence;
        await using SnmpClient small = new(TimeProvider.System, maxPending: 2);
        _ = small.GetAsync(_target, [SysName], Token);
        _ = small.GetAsync(_target, [SysName], Token);

        SnmpResult third = await small.GetAsync(_target, [SysName], Token);

        Assert.Equal(SnmpOutcome.TooManyPending, third.Outcome);
        Assert.Equal(1, small.Statistics.Refused);
    }
}
