using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Simulator.Faults;
using PoeWatch.Simulator.Tests.Support;
using PoeWatch.Snmp;

namespace PoeWatch.Simulator.Tests;

/// <summary>Agents on real sockets, asked by the service's own SNMP client over v2c and v3.</summary>
public sealed class SimulatedHarbourTests : IAsyncDisposable
{
    private static readonly Oid s_upTime = Oid.Parse("1.3.6.1.2.1.1.3.0");
    private static readonly Oid s_state = Oid.Parse("1.3.6.1.2.1.105.1.1.1.6");
    private static readonly Oid s_milliwatts = Oid.Parse("1.3.111.2.802.3.1.8.1.1.1.15");
    private static readonly CommunityCredentials s_community = new("skerry-read");

    private readonly SnmpClient _client = new(TimeProvider.System);

    public ValueTask DisposeAsync() => _client.DisposeAsync();

    [Fact]
    public async Task Everything_in_the_design_with_an_agent_answers_what_the_world_shows()
    {
        await using var harbour = await Start(s_community);
        Assert.Equal(["pass-05", "quay-west"], harbour.EndPoints.Keys.Order());
        var walk = await new BulkWalker(_client, TimeProvider.System).WalkAsync(
            Target(harbour, "quay-west", s_community), new WalkRequest([s_state, s_milliwatts]), new WalkState(), TestContext.Current.CancellationToken);
        Assert.Equal(WalkEnding.Complete, walk.Ending);
        Assert.Equal([8, 8], walk.Columns.Select(column => column.Cells.Length));
        Assert.True(walk.Columns[1].Cells[0].Value.TryGetInt64(out var milliwatts));
        Assert.InRange(milliwatts, 15_000, 60_000);
    }

    [Fact]
    public async Task A_silent_agent_times_out_while_its_neighbour_answers()
    {
        await using var harbour = await Start(s_community, "at 0s agents quay-west silent");
        var silent = await Ask(harbour, "quay-west", s_community, seconds: 0.3);
        Assert.Equal(SnmpOutcome.Timeout, silent.Outcome);
        Assert.Equal(SnmpOutcome.Answered, (await Ask(harbour, "pass-05", s_community)).Outcome);
    }

    [Fact]
    public async Task An_agent_that_loses_all_its_answers_times_out()
    {
        await using var harbour = await Start(s_community, "at 0s agent quay-west loses 100 % of its answers");
        Assert.Equal(SnmpOutcome.Timeout, (await Ask(harbour, "quay-west", s_community, seconds: 0.3)).Outcome);
        Assert.Equal(SnmpOutcome.Answered, (await Ask(harbour, "pass-05", s_community)).Outcome);
    }

    [Fact]
    public async Task Changed_credentials_meet_silence_in_v2c_and_a_report_in_v3()
    {
        const string Script = "at 0s agent quay-west refuses its credentials";
        await using var open = await Start(s_community, Script);
        Assert.Equal(SnmpOutcome.Timeout, (await Ask(open, "quay-west", s_community, seconds: 0.3)).Outcome);
        Assert.Equal(SnmpOutcome.Answered, (await Ask(open, "pass-05", s_community)).Outcome);

        var user = User(AuthProtocol.Sha256, PrivacyProtocol.Aes128);
        await using var closed = await Start(user, Script);
        Assert.Equal(SnmpOutcome.UnknownUser, (await Ask(closed, "quay-west", user)).Outcome);
    }

    [Fact]
    public async Task A_slow_agent_answers_when_its_own_clock_says_so()
    {
        var clock = new FakeTimeProvider(DrivenWorld.SummerNoon);
        var design = SmallDesign.Build();
        var script = FaultScriptText.Read("at 10s agent quay-west answers after 0.5 s", design).Script!;
        var start = await SimulatedHarbour.StartAsync(design, DrivenWorld.Seed, script, Keys(s_community), clock, NullLogger.Instance);
        await using var harbour = start.Harbour!;

        clock.Advance(TimeSpan.FromSeconds(11));
        var asked = Ask(harbour, "quay-west", s_community);
        var steps = 0;
        while (!asked.IsCompleted)
        {
            clock.Advance(TimeSpan.FromMilliseconds(100));
            steps++;
            await Task.Yield();
        }

        Assert.Equal(SnmpOutcome.Answered, (await asked).Outcome);
        // The answer was made half a second of the driven clock after the question came, at the earliest.
        Assert.True((await asked).VarBinds.Single().Value.TryGetInt64(out var ticks) && ticks >= 1_150, $"{ticks} after {steps} steps");
    }

    [Fact]
    public async Task A_UPS_with_an_agent_answers_too()
    {
        var start = await SimulatedHarbour.StartAsync(
            SmallDesign.Whole(), DrivenWorld.Seed, FaultScript.Calm, Keys(s_community), TimeProvider.System, NullLogger.Instance);
        await using var harbour = start.Harbour!;
        Assert.Equal(["pass-05", "quay-west", "ups-1"], harbour.EndPoints.Keys.Order());
        var answer = await _client.GetAsync(
            Target(harbour, "ups-1", s_community), [Oid.Parse("1.3.6.1.2.1.33.1.4.1.0")], TestContext.Current.CancellationToken);
        Assert.Equal(SnmpValue.Integer32(3), answer.VarBinds.Single().Value);
    }

    public static TheoryData<AuthProtocol, PrivacyProtocol> Levels => new(
        from auth in new[] { AuthProtocol.Md5, AuthProtocol.Sha1, AuthProtocol.Sha224, AuthProtocol.Sha256, AuthProtocol.Sha384, AuthProtocol.Sha512 }
        from privacy in new[] { PrivacyProtocol.None, PrivacyProtocol.Des, PrivacyProtocol.Aes128, PrivacyProtocol.Aes256Blumenthal }
        select (auth, privacy));

    [Theory]
    [MemberData(nameof(Levels))]
    public async Task A_v3_user_is_answered_at_its_level(AuthProtocol auth, PrivacyProtocol privacy)
    {
        var user = User(auth, privacy);
        await using var harbour = await Start(user);
        var answer = await Ask(harbour, "quay-west", user);
        Assert.Equal(SnmpOutcome.Answered, answer.Outcome);
        Assert.Equal(s_upTime, answer.VarBinds.Single().Oid);
    }

    [Fact]
    public async Task A_user_without_keys_is_answered_if_the_agent_knows_it_so()
    {
        var user = new UsmCredentials("guest");
        await using var harbour = await Start(user);
        Assert.Equal(SnmpOutcome.Answered, (await Ask(harbour, "quay-west", user)).Outcome);
    }

    public static TheoryData<string, SnmpOutcome> Mistakes => new()
    {
        { "user", SnmpOutcome.UnknownUser },
        { "passphrase", SnmpOutcome.WrongDigest },
        { "level", SnmpOutcome.AuthorizationError },
    };

    [Theory]
    [MemberData(nameof(Mistakes))]
    public async Task A_wrong_v3_setting_is_told_by_its_own_report(string mistake, SnmpOutcome expected)
    {
        await using var harbour = await Start(User(AuthProtocol.Sha256, PrivacyProtocol.Aes128));
        var asked = mistake switch
        {
            "user" => new UsmCredentials("nobody", AuthProtocol.Sha256, "maplesyrup-auth", PrivacyProtocol.Aes128, "maplesyrup-priv"),
            "passphrase" => new UsmCredentials("watch", AuthProtocol.Sha256, "wrong-passphrase", PrivacyProtocol.Aes128, "maplesyrup-priv"),
            _ => new UsmCredentials("watch", AuthProtocol.Sha256, "maplesyrup-auth"),
        };
        Assert.Equal(expected, (await Ask(harbour, "quay-west", asked)).Outcome);
    }

    [Fact]
    public async Task A_wrong_privacy_passphrase_meets_silence_and_is_inferred()
    {
        await using var harbour = await Start(User(AuthProtocol.Sha256, PrivacyProtocol.Aes128));
        var asked = new UsmCredentials("watch", AuthProtocol.Sha256, "maplesyrup-auth", PrivacyProtocol.Aes128, "wrong-passphrase");
        Assert.Equal(SnmpOutcome.Timeout, (await Ask(harbour, "quay-west", asked, seconds: 0.3)).Outcome);
        var inferred = await _client.DiagnoseSilenceAsync(Target(harbour, "quay-west", asked, seconds: 1), TestContext.Current.CancellationToken);
        Assert.Equal(SnmpOutcome.PrivacySuspected, inferred.Outcome);
    }

    [Fact]
    public async Task A_level_above_what_the_agent_has_for_the_user_is_unsupported()
    {
        await using var harbour = await Start(User(AuthProtocol.Sha256, PrivacyProtocol.None));
        var answer = await Ask(harbour, "quay-west", User(AuthProtocol.Sha256, PrivacyProtocol.Aes128));
        Assert.Equal(SnmpOutcome.UnsupportedSecurityLevel, answer.Outcome);
    }

    [Fact]
    public async Task A_port_that_cannot_be_had_is_named_and_no_harbour_comes_of_it()
    {
        // Both agents of this design name UDP port 161: the second cannot have it, and without privileges the first cannot either.
        var start = await SimulatedHarbour.StartAsync(
            SmallDesign.Build(), 1, FaultScript.Calm, Keys(s_community), TimeProvider.System, NullLogger.Instance, onDesignedPorts: true);
        Assert.Null(start.Harbour);
        Assert.Contains("UDP port 161", start.Problem, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Credentials_that_the_settings_lack_are_named()
    {
        var start = await SimulatedHarbour.StartAsync(
            SmallDesign.Build(), 1, FaultScript.Calm, new Dictionary<string, SnmpCredentials>(), TimeProvider.System, NullLogger.Instance);
        Assert.Null(start.Harbour);
        Assert.Contains("'test'", start.Problem, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_restart_of_the_agent_is_followed_by_its_v3_manager()
    {
        var user = User(AuthProtocol.Sha256, PrivacyProtocol.Aes128);
        var clock = new FakeTimeProvider(DrivenWorld.SummerNoon);
        var design = SmallDesign.Build();
        var script = FaultScriptText.Read("at 1000s agent quay-west restarts", design).Script!;
        var start = await SimulatedHarbour.StartAsync(design, DrivenWorld.Seed, script, Keys(user), clock, NullLogger.Instance);
        await using var harbour = start.Harbour!;

        clock.Advance(TimeSpan.FromSeconds(999));
        var before = await Ask(harbour, "quay-west", user);
        clock.Advance(TimeSpan.FromSeconds(2));
        var after = await Ask(harbour, "quay-west", user);
        Assert.Equal(SnmpValue.TimeTicks(99_900), before.VarBinds.Single().Value);
        Assert.Equal(SnmpValue.TimeTicks(100), after.VarBinds.Single().Value);
    }

    [Fact]
    public async Task A_v3_manager_is_not_shut_out_by_a_clock_that_is_set_back_or_forward()
    {
        var user = User(AuthProtocol.Sha256, PrivacyProtocol.Aes128);
        var clock = new FakeTimeProvider(DrivenWorld.SummerNoon);
        var design = SmallDesign.Build();
        var script = FaultScriptText.Read("at 2000s agent quay-west clock steps -1000 s\nat 3000s agent quay-west clock steps 5000 s", design).Script!;
        var start = await SimulatedHarbour.StartAsync(design, DrivenWorld.Seed, script, Keys(user), clock, NullLogger.Instance);
        await using var harbour = start.Harbour!;
        foreach (var (seconds, upTime) in new[] { (1999, 199_900), (2001, 100_100), (3001, 700_100) })
        {
            clock.Advance(TimeSpan.FromSeconds(seconds) - harbour.World.Elapsed);
            Assert.Equal(SnmpValue.TimeTicks((uint)upTime), (await Ask(harbour, "quay-west", user)).VarBinds.Single().Value);
        }
    }

    private static UsmCredentials User(AuthProtocol auth, PrivacyProtocol privacy) =>
        new("watch", auth, "maplesyrup-auth", privacy, privacy == PrivacyProtocol.None ? null : "maplesyrup-priv");

    private static Dictionary<string, SnmpCredentials> Keys(SnmpCredentials credentials) => new() { ["test"] = credentials };

    // Patient where an answer is due, so that a busy machine does not fail a test; short where silence is.
    private static SnmpTarget Target(SimulatedHarbour harbour, string element, SnmpCredentials credentials, double seconds = 10) =>
        new(harbour.EndPoints[element], credentials, TimeSpan.FromSeconds(seconds), retries: 0);

    private Task<SnmpResult> Ask(SimulatedHarbour harbour, string element, SnmpCredentials credentials, double seconds = 10) =>
        _client.GetAsync(Target(harbour, element, credentials, seconds), [s_upTime], TestContext.Current.CancellationToken);

    private static async Task<SimulatedHarbour> Start(SnmpCredentials credentials, string script = "")
    {
        var design = SmallDesign.Build();
        var start = await SimulatedHarbour.StartAsync(
            design,
            DrivenWorld.Seed,
            FaultScriptText.Read(script, design).Script!,
            Keys(credentials),
            TimeProvider.System,
            NullLogger.Instance,
            options: new() { BootTime = TimeSpan.Zero, RefreshPeriod = TimeSpan.FromMilliseconds(20) });
        Assert.Equal("", start.Problem);
        return start.Harbour!;
    }
}
