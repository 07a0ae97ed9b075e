using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Options;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Readings.Changes;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Polling;
using PoeWatch.Monitoring.Polling.Ups;
using PoeWatch.Simulator.Faults;
using PoeWatch.Simulator.Tests.Support;
using PoeWatch.Snmp;
using static PoeWatch.Simulator.Tests.Support.SmallDesign;

namespace PoeWatch.Simulator.Tests;

/// <summary>Scripted faults as the service's own readers meet them, over sockets; all time is driven.</summary>
public sealed class ReaderTests : IAsyncDisposable
{
    private static readonly CommunityCredentials s_community = new("skerry-read");

    private readonly SnmpClient _client = new(TimeProvider.System);
    private readonly FakeTimeProvider _clock = new(DrivenWorld.SummerNoon);
    private readonly IOptions<PollingOptions> _options = Options.Create(new PollingOptions { Timeout = TimeSpan.FromSeconds(10), Retries = 0 });
    private SimulatedHarbour _harbour = null!;
    private SnmpSwitchReader _reader = null!;
    private PollTarget _target = null!;

    public async ValueTask DisposeAsync()
    {
        await _harbour.DisposeAsync();
        await _client.DisposeAsync();
    }

    [Fact]
    public async Task A_swapped_device_is_a_wrong_one_and_moved_ones_are_told()
    {
        await Start(
            Builder().Device("ptz-01", "ptz", "pole-01", lldpName: "camera-ramp").Device("horn-03", "horn", "pole-03", lldpName: "horn-three").Build(),
            """
            at 100s device ptz-01 swapped for fixed-camera
            at 200s device ptz-01 as designed
            at 300s devices ptz-01, horn-03 change places
            """);
        Assert.Empty((await PollAt(50)).Findings);
        var wrong = Assert.Single((await PollTwiceAt(150)).Findings);
        Assert.Equal((FindingKind.WrongDevice, CameraPort), (wrong.Kind, wrong.Port));
        Assert.Empty((await PollTwiceAt(250)).Findings);
        var moved = await PollTwiceAt(350);
        Assert.Equal(
            [(FindingKind.MovedDevice, CameraPort), (FindingKind.MovedDevice, HornPort)], moved.Findings.Select(f => (f.Kind, f.Port!.Value)));
    }

    [Fact]
    public async Task A_meter_that_errs_is_believed_and_a_repeated_figure_stays()
    {
        await Start(Build(), "at 100s agent quay-west meter errs 2 %\nat 200s agent quay-west repeats its watts for 10 m");
        var right = Draw(await PollAt(50));
        Assert.Equal(TrueWatts(), right, 0.001);
        var wrong = Draw(await PollAt(150));
        Assert.Equal(TrueWatts() * 1.02, wrong, 0.001);
        var held = Draw(await PollAt(250));
        Assert.Equal(held, Draw(await PollAt(450)));
        Assert.NotEqual(held, Draw(await PollAt(850)));
    }

    [Fact]
    public async Task Watts_in_another_unit_are_a_conflict_with_the_groups_own_figure()
    {
        await Start(Build(), "at 100s agent quay-west tells port watts times 10\nat 200s agent quay-west tells port watts as they are");
        Assert.Empty((await PollAt(50)).Findings);
        var conflict = Assert.Single((await PollAt(150)).Findings);
        Assert.Equal((FindingKind.UnitConflict, 1), (conflict.Kind, conflict.Group));
        await PollAt(250);
        await PollAt(310);
        await PollAt(370);
        Assert.Empty((await PollAt(430)).Findings);
    }

    [Fact]
    public async Task A_port_in_another_VLAN_is_told()
    {
        await Start(
            Builder().Port("quay-west:1/2", vlan: 20).Build(), "at 100s port quay-west:1/2 in VLAN 30\nat 2000s port quay-west:1/2 in VLAN as designed");
        Assert.Empty((await PollAt(50)).Findings);
        // Nothing tells that a VLAN was changed: the next survey finds it.
        await PollAt(1990);
        var wrong = Assert.Single((await PollAt(1995)).Findings);
        Assert.Equal((FindingKind.WrongVlan, HornPort), (wrong.Kind, wrong.Port));
    }

    [Fact]
    public async Task A_clock_that_is_stepped_forward_is_no_restart()
    {
        await Start(Build(), "at 1100s agent quay-west clock steps 90 s\nat 1200s agent quay-west restarts");
        await PollAt(1000);
        Assert.Empty((await PollAt(1060)).Changes);
        Assert.Empty((await PollAt(1120)).Changes);
        // The box ran on (hrSystemUptime), so its ports kept their power.
        Assert.Equal(AgentChangeKind.AgentRestarted, Assert.Single((await PollAt(1220)).Changes).Kind);
    }

    [Fact]
    public async Task An_outage_shows_as_a_restart_with_all_ports_on_again()
    {
        await Start(Build(), "at 1100s mains of quay-west lost\nat 1130s mains of quay-west back");
        var before = await PollAt(1000);
        Assert.Equal(3, before.Ports.Count(port => port.State == PortState.Delivering));
        var after = await PollAt(1160);
        Assert.Equal(AgentChangeKind.Restarted, Assert.Single(after.Changes).Kind);
        Assert.Equal(3, after.Ports.Count(port => port.State == PortState.Delivering));
        // Devices boot: a quarter more than before.
        Assert.InRange(Draw(after) / Draw(before), 1.15, 1.4);
    }

    [Fact]
    public async Task A_UPS_on_battery_is_told_by_its_reader()
    {
        await Start(Whole(), "at 100s ups ups-1 on battery");
        var agent = Agent("ups-1", _harbour.World.Design.UpsUnits["ups-1"].Agent!);
        var reader = new SnmpUpsReader(_client, new Secrets(), _options, _clock);
        async Task<UpsFigures> ReadAt(double seconds)
        {
            _clock.Advance(TimeSpan.FromSeconds(seconds) - _harbour.World.Elapsed);
            return (await reader.ReadAsync("ups-1", agent, TimeSpan.FromMinutes(5), TestContext.Current.CancellationToken)).Told!;
        }

        Assert.False((await ReadAt(50)).IsOnBattery);
        var told = await ReadAt(160);
        Assert.Equal((true, TimeSpan.FromSeconds(60), UpsBatteryState.Normal), (told.IsOnBattery, told.OnBatteryFor, told.Battery));
        Assert.InRange(told.Output!.Value.Watts, 40, 90);
        Assert.InRange(told.ChargePercent!.Value, 97, 99);
    }

    private async Task Start(DesignModel design, string script)
    {
        var reading = FaultScriptText.Read(script, design);
        Assert.Empty(reading.Problems);
        var start = await SimulatedHarbour.StartAsync(
            design, DrivenWorld.Seed, reading.Script!, new Dictionary<string, SnmpCredentials> { ["test"] = s_community }, _clock, NullLogger.Instance);
        _harbour = start.Harbour!;
        _reader = new SnmpSwitchReader(_client, new Secrets(), SheetBook.Empty, _options, _clock);
        var target = PollTargets.Of(design)[Switch];
        _target = target with { Agent = Agent(Switch, target.Agent) };
    }

    private SnmpAgent Agent(string id, SnmpAgent designed) => designed with { Address = "127.0.0.1", UdpPort = _harbour.EndPoints[id].Port };

    private Task<SwitchReading> PollAt(double seconds)
    {
        _clock.Advance(TimeSpan.FromSeconds(seconds) - _harbour.World.Elapsed);
        return _reader.ReadAsync(_target, TestContext.Current.CancellationToken);
    }

    // What changed is surveyed after the poll that saw the change.
    private async Task<SwitchReading> PollTwiceAt(double seconds)
    {
        await PollAt(seconds - 10);
        return await PollAt(seconds);
    }

    private double TrueWatts() => _harbour.World.PortAt(CameraPort)!.Value.Draw.Watts;

    private static double Draw(SwitchReading reading) => reading.Ports.Single(port => port.Port == CameraPort).DrawAtPse!.Value.Watts;

    private sealed class Secrets : ICredentialSource
    {
        public SnmpCredentials? Find(string name, out string problem)
        {
            problem = "";
            return s_community;
        }
    }
}
