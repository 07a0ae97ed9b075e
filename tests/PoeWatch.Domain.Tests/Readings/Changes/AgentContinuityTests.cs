using PoeWatch.Domain.Readings.Changes;

namespace PoeWatch.Domain.Tests.Readings.Changes;

/// <summary>Objects and their meaning: RFC 3411 (snmpEngineBoots), RFC 3418 (sysUpTime), RFC 2790 (hrSystemUptime), RFC 6933 (entPhysicalSerialNum).</summary>
public sealed class AgentContinuityTests
{
    private static readonly AgentIdentity Quay = new("1.3.6.1.4.1.99999.1", "8000000005AA", "S-1");
    private static readonly AgentPulse Before = new(Seconds(1000), Seconds(5000), 7, Seconds(90_000), [1, 2], Quay);

    [Fact]
    public void An_agent_that_goes_on_has_not_changed() => Assert.Empty(After(60));

    [Theory]
    [InlineData(61)]
    [InlineData(53)]
    [InlineData(66)]
    public void Answers_that_come_some_seconds_sooner_or_later_are_no_restart(double upTimeLater) =>
        Assert.Empty(AgentContinuity.Between(Before, Pulse(60) with { UpTime = Before.UpTime + Seconds(upTimeLater) }));

    [Fact]
    public void More_boots_are_a_restart_whatever_the_up_time_says() =>
        Assert.Equal([AgentChangeKind.AgentRestarted], Kinds(Pulse(60) with { EngineBoots = 8 }));

    [Fact]
    public void Without_boots_a_shorter_up_time_is_a_restart()
    {
        AgentPulse before = Before with { EngineBoots = null };

        Assert.Equal([AgentChangeKind.AgentRestarted], AgentContinuity.Between(before, Pulse(60) with { EngineBoots = null, UpTime = Seconds(20) }).Select(c => c.Kind));
    }

    [Fact]
    public void An_up_time_that_grew_but_by_less_than_the_time_between_is_a_restart_too()
    {
        // Up for 100 s before, an hour without a poll, up for 200 s after.
        AgentPulse before = Before with { EngineBoots = null, UpTime = Seconds(100) };

        Assert.Equal([AgentChangeKind.AgentRestarted], AgentContinuity.Between(before, Pulse(3600) with { EngineBoots = null, UpTime = Seconds(200) }).Select(c => c.Kind));
    }

    // TimeTicks go round after 2^32 hundredths of a second (RFC 2578 section 7.1.8): 42949672.96 s.
    [Theory]
    [InlineData(42_949_650, 60, 37.04, false)]
    [InlineData(42_949_650, 60, 2, true)]
    [InlineData(30_000_000, 60, 37.04, true)]
    public void An_up_time_that_went_round_is_no_restart(double was, double later, double isNow, bool isRestart)
    {
        AgentPulse before = Before with { EngineBoots = null, UpTime = Seconds(was) };
        AgentPulse now = Pulse(later) with { EngineBoots = null, UpTime = Seconds(isNow) };

        Assert.Equal(isRestart, !AgentContinuity.Between(before, now).IsEmpty);
    }

    [Fact]
    public void A_clock_that_stands_still_is_no_restart() =>
        Assert.Empty(AgentContinuity.Between(Before, Pulse(600) with { UpTime = Before.UpTime, EngineBoots = null }));

    [Fact]
    public void A_clock_that_is_slow_is_no_restart_at_each_poll() =>
        Assert.Empty(AgentContinuity.Between(Before, Pulse(60) with { UpTime = Before.UpTime + Seconds(30), EngineBoots = null }));

    [Theory]
    [InlineData(90_060.0, AgentChangeKind.AgentRestarted, "kept their power")]
    [InlineData(25.0, AgentChangeKind.Restarted, "The switch started again")]
    [InlineData(null, AgentChangeKind.Restarted, "is not known")]
    public void Whether_the_switch_ran_on_is_told_by_its_own_up_time(double? system, AgentChangeKind kind, string said)
    {
        AgentPulse now = Pulse(60) with { EngineBoots = 8, UpTime = Seconds(20), SystemUpTime = system is { } s ? Seconds(s) : null };

        AgentChange change = Assert.Single(AgentContinuity.Between(Before, now));

        Assert.Equal(kind, change.Kind);
        Assert.Contains(said, change.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("1.3.6.1.4.1.99999.1", "8000000005AA", "S-2", AgentChangeKind.Replaced)]
    [InlineData("1.3.6.1.4.1.99999.2", "8000000005AA", "", AgentChangeKind.Replaced)]
    [InlineData("", "8000000005BB", "", AgentChangeKind.Replaced)]
    [InlineData("1.3.6.1.4.1.99999.1", "8000000005BB", "S-1", AgentChangeKind.AgentRestarted)]
    public void Another_switch_shows_by_serial_number_model_or_engine(string objectId, string engineId, string serial, AgentChangeKind kind) =>
        Assert.Equal([kind], AgentContinuity.Between(Before, Pulse(60) with { Identity = new AgentIdentity(objectId, engineId, serial), SystemUpTime = SystemOf(kind) }).Select(c => c.Kind));

    [Fact]
    public void A_new_engine_id_in_a_machine_that_ran_on_is_a_restart_of_the_agent() =>
        Assert.Equal([AgentChangeKind.AgentRestarted], Kinds(Pulse(60) with { Identity = new AgentIdentity("", "8000000005BB", "") }));

    [Theory]
    [InlineData(new[] { 1, 3 }, AgentChangeKind.Renumbered)]
    [InlineData(new[] { 1, 2, 3 }, AgentChangeKind.GroupsChanged)]
    [InlineData(new[] { 2 }, AgentChangeKind.GroupsChanged)]
    public void Groups_with_other_numbers_are_told(int[] groups, AgentChangeKind kind) => Assert.Equal([kind], Kinds(Pulse(60) with { Groups = [.. groups] }));

    [Fact]
    public void What_an_agent_does_not_say_is_no_change() =>
        Assert.Empty(AgentContinuity.Between(Before, new AgentPulse(Seconds(1060), null, null, null, [], AgentIdentity.Nothing)));

    // Of another switch nobody knows how long it was up before.
    private static TimeSpan? SystemOf(AgentChangeKind kind) => kind == AgentChangeKind.Replaced ? null : Pulse(60).SystemUpTime;

    private static TimeSpan Seconds(double seconds) => TimeSpan.FromSeconds(seconds);

    private static AgentPulse Pulse(double later) =>
        Before with { At = Before.At + Seconds(later), UpTime = Before.UpTime + Seconds(later), SystemUpTime = Before.SystemUpTime + Seconds(later) };

    private static IEnumerable<AgentChange> After(double later) => AgentContinuity.Between(Before, Pulse(later));

    private static IEnumerable<AgentChangeKind> Kinds(AgentPulse now) => AgentContinuity.Between(Before, now).Select(c => c.Kind);
}
