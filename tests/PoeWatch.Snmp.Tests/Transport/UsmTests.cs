using PoeWatch.TestKit.Snmp;

namespace PoeWatch.Snmp.Tests.Transport;

/// <summary>v3 conversations with a scripted agent: what is reported, what is believed, what is tried again.</summary>
public sealed class UsmTests : IAsyncLifetime
{
    private static readonly Oid SysUpTime = Oid.Parse("1.3.6.1.2.1.1.3.0");
    private static readonly UsmCredentials User =
        new("poller", AuthProtocol.Sha256, "authpass99", PrivacyProtocol.Aes128, "privpass99");

    private readonly SnmpClient _client = new(TimeProvider.System);
    private ScriptedUsmAgent _agent = new(User);

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    public ValueTask InitializeAsync()
    {
        _agent.Table.Set(SysUpTime, SnmpValue.TimeTicks(4711));
        return ValueTask.CompletedTask;
    }

    public async ValueTask DisposeAsync()
    {
        await _client.DisposeAsync();
        await _agent.DisposeAsync();
    }

    private Task<SnmpResult> AskAsync(UsmCredentials? user = null) =>
        _client.GetAsync(new SnmpTarget(_agent.Endpoint, user ?? User, TimeSpan.FromSeconds(10), retries: 0), [SysUpTime], Token);

    [Fact]
    public async Task An_agent_that_was_forgotten_is_discovered_anew()
    {
        await AskAsync();
        await AskAsync();
        Assert.Equal(1, _agent.Discoveries);

        _client.Forget(_agent.Endpoint);

        Assert.True((await AskAsync()).IsAnswered);
        Assert.Equal(2, _agent.Discoveries);
    }

    /// <summary>A target for what is expected to end in silence.</summary>
    private SnmpTarget Impatient(UsmCredentials? user = null) =>
        new(_agent.Endpoint, user ?? User, TimeSpan.FromMilliseconds(500), retries: 0);

    [Theory]
    [InlineData(AuthProtocol.None, PrivacyProtocol.None)]
    [InlineData(AuthProtocol.Md5, PrivacyProtocol.None)]
    [InlineData(AuthProtocol.Md5, PrivacyProtocol.Des)]
    [InlineData(AuthProtocol.Md5, PrivacyProtocol.Aes256Reeder)]
    [InlineData(AuthProtocol.Sha1, PrivacyProtocol.Aes192Blumenthal)]
    [InlineData(AuthProtocol.Sha224, PrivacyProtocol.Aes256Blumenthal)]
    [InlineData(AuthProtocol.Sha384, PrivacyProtocol.Aes192Reeder)]
    [InlineData(AuthProtocol.Sha512, PrivacyProtocol.Aes256Blumenthal)]
    public async Task Every_level_and_protocol_is_answered(AuthProtocol auth, PrivacyProtocol privacy)
    {
        UsmCredentials user = new(
            "poller", auth, auth == AuthProtocol.None ? null : "authpass99",
            privacy, privacy == PrivacyProtocol.None ? null : "privpass99");
        await _agent.DisposeAsync();
        _agent = new ScriptedUsmAgent(user);
        _agent.Table.Set(SysUpTime, SnmpValue.TimeTicks(4711));
        SnmpTarget patient = new(_agent.Endpoint, user, TimeSpan.FromSeconds(5));

        SnmpResult result = await _client.GetAsync(patient, [SysUpTime], Token);

        Assert.Equal(SnmpOutcome.Answered, result.Outcome);
        Assert.Equal(SnmpValue.TimeTicks(4711), result.VarBinds[0].Value);
    }

    [Fact]
    public async Task Engine_is_discovered_once_for_many_requests()
    {
        for (int i = 0; i < 5; i++)
        {
            Assert.True((await AskAsync()).IsAnswered);
        }

        Assert.Equal((1, 5), (_agent.Discoveries, _agent.Answers));
    }

    [Fact]
    public async Task Wrong_user_digest_and_level_are_told_apart()
    {
        Assert.Equal(SnmpOutcome.UnknownUser, (await AskAsync(new UsmCredentials("nobody", AuthProtocol.Sha256, "authpass99"))).Outcome);
        Assert.Equal(
            SnmpOutcome.WrongDigest,
            (await AskAsync(new UsmCredentials("poller", AuthProtocol.Sha256, "wrongpass99", PrivacyProtocol.Aes128, "privpass99"))).Outcome);
        Assert.Equal(SnmpOutcome.WrongDigest, (await AskAsync(new UsmCredentials("poller", AuthProtocol.Sha1, "authpass99"))).Outcome);
        Assert.Equal(2, _client.Statistics.Reports(SnmpOutcome.WrongDigest));
        Assert.Equal(1, _client.Statistics.Reports(SnmpOutcome.UnknownUser));

        await using ScriptedUsmAgent plain = new(new UsmCredentials("poller"));
        SnmpResult level = await _client.GetAsync(new SnmpTarget(plain.Endpoint, User), [SysUpTime], Token);
        Assert.Equal(SnmpOutcome.UnsupportedSecurityLevel, level.Outcome);
    }

    [Fact]
    public async Task Changed_credentials_take_effect_at_once()
    {
        Assert.Equal(
            SnmpOutcome.WrongDigest,
            (await AskAsync(new UsmCredentials("poller", AuthProtocol.Sha256, "old-pass-99", PrivacyProtocol.Aes128, "privpass99"))).Outcome);
        Assert.Equal(SnmpOutcome.Answered, (await AskAsync()).Outcome);
    }

    [Fact]
    public async Task Wrong_privacy_is_inferred_from_silence()
    {
        UsmCredentials wrong = new("poller", AuthProtocol.Sha256, "authpass99", PrivacyProtocol.Aes128, "wrongpass99");

        Assert.Equal(SnmpOutcome.Timeout, (await _client.GetAsync(Impatient(wrong), [SysUpTime], Token)).Outcome);
        SnmpResult diagnosis = await _client.DiagnoseSilenceAsync(Impatient(wrong), Token);

        Assert.Equal(SnmpOutcome.PrivacySuspected, diagnosis.Outcome);
        Assert.Contains("privacy key or algorithm probably wrong", diagnosis.Summary, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Diagnosis_blames_nothing_where_nothing_answers_or_everything_does()
    {
        Assert.Equal(SnmpOutcome.Answered, (await _client.DiagnoseSilenceAsync(Impatient(), Token)).Outcome);
        _agent.Fault = UsmFault.Silence;
        Assert.Equal(SnmpOutcome.Timeout, (await _client.DiagnoseSilenceAsync(Impatient(), Token)).Outcome);
        Assert.InRange(_client.Statistics.Sent, 4, 8);
    }

    [Theory]
    [InlineData(UsmFault.AnswersInTheClear)]
    [InlineData(UsmFault.AnswersUnencrypted)]
    [InlineData(UsmFault.BadDigest)]
    [InlineData(UsmFault.Tampered)]
    [InlineData(UsmFault.OtherEngine)]
    [InlineData(UsmFault.OldTime)]
    public async Task Answer_that_cannot_be_believed_is_dropped_and_named(UsmFault fault)
    {
        Assert.True((await AskAsync()).IsAnswered);
        _agent.Fault = fault;

        SnmpResult result = await _client.GetAsync(Impatient(), [SysUpTime], Token);

        Assert.Equal(SnmpOutcome.Untrusted, result.Outcome);
        Assert.Empty(result.VarBinds);
        Assert.Equal(1, _client.Statistics.Untrusted);
    }

    [Fact]
    public async Task Restarted_engine_is_followed_by_one_more_request()
    {
        Assert.True((await AskAsync()).IsAnswered);
        _agent.Boots = 8;
        _agent.Time = 3;

        Assert.True((await AskAsync()).IsAnswered);
        Assert.Equal(1, _agent.Reports[SnmpOutcome.NotInTimeWindow]);
        Assert.Equal(1, _agent.Discoveries);
        Assert.True((await AskAsync()).IsAnswered);
        Assert.Equal(1, _agent.Reports[SnmpOutcome.NotInTimeWindow]);
    }

    /// <summary>Net-SNMP's snmpd with a fixed engine id does this: its time starts anew, its boots do not rise.</summary>
    [Fact]
    public async Task Engine_that_restarts_without_counting_it_is_discovered_anew()
    {
        _agent.Time = 100_000;
        Assert.True((await AskAsync()).IsAnswered);
        _agent.Time = 3;

        Assert.True((await AskAsync()).IsAnswered);
        Assert.Equal(2, _agent.Discoveries);
        Assert.True((await AskAsync()).IsAnswered);
        Assert.Equal(2, _agent.Discoveries);
    }

    [Fact]
    public async Task Discovery_that_tells_no_clock_costs_one_report()
    {
        _agent.ClockTold = (0, 0);

        Assert.True((await AskAsync()).IsAnswered);
        Assert.Equal(1, _agent.Reports[SnmpOutcome.NotInTimeWindow]);
    }

    [Fact]
    public async Task Forged_clock_in_discovery_is_overruled()
    {
        _agent.ClockTold = (int.MaxValue - 1, int.MaxValue);

        Assert.True((await AskAsync()).IsAnswered);
    }

    [Fact]
    public async Task Clock_that_contradicts_itself_is_an_outcome_not_a_loop()
    {
        _agent.ClockTold = (1, 1);
        _agent.ClockReported = (2, 1);

        SnmpResult result = await AskAsync();

        Assert.Equal(SnmpOutcome.NotInTimeWindow, result.Outcome);
        Assert.Equal(2, _agent.Reports[SnmpOutcome.NotInTimeWindow]);
    }

    [Fact]
    public async Task Unsigned_time_report_never_moves_the_clock()
    {
        Assert.True((await AskAsync()).IsAnswered);
        _agent.Fault = UsmFault.UnsignedTimeReport;
        _agent.ClockReported = (99, 1);

        Assert.Equal(SnmpOutcome.NotInTimeWindow, (await AskAsync()).Outcome);
        _agent.Fault = UsmFault.None;
        _agent.ClockReported = null;
        Assert.True((await AskAsync()).IsAnswered);
        Assert.Equal(2, _agent.Reports[SnmpOutcome.NotInTimeWindow]);
    }

    [Fact]
    public async Task Agent_that_becomes_another_engine_is_discovered_anew()
    {
        Assert.True((await AskAsync()).IsAnswered);
        _agent.BecomeAnotherEngine(Convert.FromHexString("8000000001C0000209"));

        Assert.True((await AskAsync()).IsAnswered);
        Assert.Equal(2, _agent.Discoveries);
    }

    [Fact]
    public async Task Rotated_credentials_are_used_from_the_next_request_on_and_the_old_keys_are_gone()
    {
        Assert.True((await AskAsync()).IsAnswered);
        SnmpTarget before = new(_agent.Endpoint, User);
        Assert.True(_client.Usm.TryFind(before, User, out PoeWatch.Snmp.Security.UsmSession old));
        Assert.Contains(old.AuthKey.ToArray(), octet => octet != 0);
        UsmCredentials rotated = new("poller", AuthProtocol.Sha256, "another auth pass", PrivacyProtocol.Aes128, "another priv pass");

        SnmpResult result = await AskAsync(rotated); // the agent still has the old ones

        Assert.Equal(SnmpOutcome.WrongDigest, result.Outcome);
        Assert.DoesNotContain(old.AuthKey.ToArray(), octet => octet != 0);
        Assert.True((await AskAsync()).IsAnswered);
    }

    [Fact]
    public async Task Walk_works_as_in_v2c()
    {
        Oid column = Oid.Parse("1.3.6.1.2.1.105.1.1.1.6");
        for (uint port = 1; port <= 48; port++)
        {
            _agent.Table.Set(column.Append(1, port), SnmpValue.Integer32(3));
        }

        WalkResult result = await new BulkWalker(_client, TimeProvider.System).WalkAsync(
            new SnmpTarget(_agent.Endpoint, User), new WalkRequest([column], [SysUpTime]), new WalkState(), Token);

        Assert.Equal((WalkEnding.Complete, 48), (result.Ending, result.Columns[0].Cells.Length));
        Assert.Equal(SnmpValue.TimeTicks(4711), result.Instances[0].Value);
    }
}
