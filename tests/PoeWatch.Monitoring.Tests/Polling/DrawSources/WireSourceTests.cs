using Microsoft.Extensions.Options;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Polling;
using PoeWatch.Snmp;
using PoeWatch.TestKit.Snmp;

namespace PoeWatch.Monitoring.Tests.Polling.DrawSources;

/// <summary>Polls over a loopback socket: which source is read, and what is withheld. The maker's columns stand below the arc of RFC 5612's example number.</summary>
public sealed class WireSourceTests : IAsyncDisposable
{
    private const string Maker = "1.3.6.1.4.1.32473.7.1.";

    private readonly ScriptedAgent _agent = new("harbour");
    private readonly SnmpClient _client = new(TimeProvider.System);
    private SnmpSwitchReader _reader;

    public WireSourceTests()
    {
        Put("1.3.6.1.2.1.1.1.0", SnmpValue.Text("switch of the harbour"));
        Put("1.3.6.1.2.1.1.2.0", SnmpValue.ObjectIdentifier(Oid.Parse("1.3.6.1.4.1.32473.1.48")));
        Put("1.3.6.1.2.1.1.3.0", SnmpValue.TimeTicks(8_640_000));
        Ports((1, 3, 4), (2, 3, 3), (3, 3, 5), (4, 2, 1));
        Group(61);
        _reader = Reader(Sheet());
    }

    [Fact]
    public async Task A_sheet_that_fits_is_read_from_the_first_poll_on()
    {
        Draws(12_000, 6_500, 42_500, 0);

        SwitchReading first = await PollAsync();

        Assert.Equal([12.0, 6.5, 42.5, 0], first.Ports.Select(p => p.DrawAtPse!.Value.Watts));
        Assert.Equal([Provenance.Measured, Provenance.Measured, Provenance.Measured, Provenance.Off], first.Ports.Select(p => p.Provenance));
        Assert.Equal(("sheet test", 0.001), (first.Ports[0].Source, first.Ports[0].Resolution!.Value.Watts));
        Assert.Empty(first.Findings);
        Assert.Equal(first.Ports.Select(p => p.DrawAtPse), (await PollAsync()).Ports.Select(p => p.DrawAtPse));
    }

    // A survey's answers come seconds after the up time that the poll before it read: a mean from there would be over a time that was not that long.
    [Fact]
    public async Task A_mean_is_made_of_what_two_polls_read_and_not_of_what_a_survey_read()
    {
        Counts(0, 86_400);
        await PollAsync();
        Counts(300_000, 86_460);
        SwitchReading second = await PollAsync();
        Counts(300_000 + 720_000, 86_520);
        SwitchReading third = await PollAsync();

        Assert.NotEqual(Provenance.Derived, second.Ports[0].Provenance);
        Assert.Equal((Provenance.Derived, 12.0), (third.Ports[0].Provenance, third.Ports[0].DrawAtPse!.Value.Watts));

        void Counts(uint millijoules, uint upSeconds)
        {
            Put("1.3.111.2.802.3.1.8.1.1.1.17.1.1", SnmpValue.Counter32(millijoules));
            Put("1.3.6.1.2.1.1.3.0", SnmpValue.TimeTicks(upSeconds * 100));
        }
    }

    [Fact]
    public async Task The_draw_column_of_the_design_stands_above_every_sheet()
    {
        Draws(1, 1, 1, 0);
        foreach (var (port, deciwatts) in new[] { (1, 121), (2, 65), (3, 424) })
        {
            Put($"1.3.6.1.4.1.32473.9.1.{port}", SnmpValue.Integer32(deciwatts));
        }

        SwitchReading reading = await PollAsync(new DrawColumn("1.3.6.1.4.1.32473.9", DrawUnit.Deciwatt, DrawIndex.GroupAndPort));

        Assert.Equal(12.1, reading.Ports[0].DrawAtPse!.Value.Watts);
        Assert.Equal("draw-column of the design", reading.Ports[0].Source);
    }

    [Fact]
    public async Task A_sheet_for_other_agents_is_not_read()
    {
        Draws(12_000, 6_500, 42_500, 0);
        _reader = Reader(Sheet() with { ObjectIds = ["1.3.6.1.4.1.32473.2"] });

        Assert.Equal(Provenance.ClassBound, (await PollAsync()).Ports[0].Provenance);
    }

    [Fact]
    public async Task Own_sheets_stand_above_shipped_ones()
    {
        Draws(120, 65, 425, 0);
        _reader = Reader(Sheet(), Sheet(SheetUnit.Deciwatt) with { Name = "own", IsOwn = true });

        Assert.Equal((12.0, "sheet own"), ((await PollAsync()).Ports[0].DrawAtPse!.Value.Watts, (await PollAsync()).Ports[0].Source));
    }

    [Fact]
    public async Task Figures_ten_times_too_small_are_withheld_at_once_and_reported()
    {
        // The sheet says milliwatts, the agent counts in hundredths of a watt: 1,200 for 12 W.
        Draws(1_200, 650, 4_250, 0);

        SwitchReading reading = await PollAsync();

        Assert.DoesNotContain(reading.Ports, p => p.State == PortState.Delivering && p.Draw is not null);
        Assert.Null(reading.Groups[0].DrawAtPse);
        ReadingFinding finding = Assert.Single(reading.Findings);
        Assert.Equal((FindingKind.UnitConflict, 1), (finding.Kind, finding.Group));
        Assert.Contains("add up to 6.1 W, the group says 61 W, 10 times as much", finding.Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_was_withheld_is_believed_again_after_three_polls_that_agree()
    {
        Draws(1_200, 650, 4_250, 0);
        await PollAsync();
        Draws(12_000, 6_500, 42_500, 0);

        Assert.Null((await PollAsync()).Ports[0].Draw);
        Assert.Null((await PollAsync()).Ports[0].Draw);
        Assert.Equal(12.0, (await PollAsync()).Ports[0].Draw!.Value.Watts);
    }

    [Fact]
    public async Task A_group_in_milliwatts_is_withheld_and_its_ports_are_not()
    {
        Draws(12_000, 6_500, 42_500, 0);
        Group(61_000);

        SwitchReading reading = await PollAsync();

        Assert.Equal((12.0, null), (reading.Ports[0].Draw!.Value.Watts, reading.Groups[0].DrawAtPse));
        Assert.Equal(FindingKind.UnitConflict, Assert.Single(reading.Findings).Kind);
    }

    [Fact]
    public async Task A_withheld_source_leaves_its_place_to_the_next_one()
    {
        Draws(1_200, 650, 4_250, 0);
        foreach (var (port, milliwatts) in new[] { (1, 12_000), (2, 6_500), (3, 42_500), (4, 0) })
        {
            Put($"1.3.111.2.802.3.1.8.1.1.1.15.1.{port}", SnmpValue.Integer32(milliwatts));
        }

        await PollAsync();
        SwitchReading second = await PollAsync();

        Assert.Equal((12.0, "IEEE 802.3.1 actual power"), (second.Ports[0].Draw!.Value.Watts, second.Ports[0].Source));
    }

    [Fact]
    public async Task Ports_that_all_show_their_class_ceilings_are_allocated_whatever_the_sheet_says()
    {
        // class3(4): 15.4 W; class2(3): 7 W; class4(5): 30 W (IEEE 802.3 clause 33, at the PSE).
        Draws(15_400, 7_000, 30_000, 0);
        Group(52);

        SwitchReading reading = await PollAsync();

        Assert.Equal([Provenance.Allocated, Provenance.Allocated, Provenance.Allocated, Provenance.Off], reading.Ports.Select(p => p.Provenance));
        Assert.Equal(Provenance.Allocated, reading.Groups[0].Provenance);
        Assert.Equal(FindingKind.AllocationAsDraw, Assert.Single(reading.Findings).Kind);
    }

    [Fact]
    public async Task The_second_poll_asks_only_for_what_is_read()
    {
        Draws(12_000, 6_500, 42_500, 0);
        await PollAsync();
        var before = _agent.Requests;

        await PollAsync();

        Assert.InRange(_agent.Requests - before, 1, 2);
    }

    [Fact]
    public async Task An_agent_with_no_more_than_RFC_3621_costs_a_few_requests_once()
    {
        await PollAsync();

        Assert.InRange(_agent.Requests, 1, 12);
    }

    public async ValueTask DisposeAsync()
    {
        await _client.DisposeAsync();
        await _agent.DisposeAsync();
    }

    private SnmpSwitchReader Reader(params DrawSheet[] sheets) => new(
        _client, new Credentials(), new SheetBook(sheets), Options.Create(new PollingOptions { Timeout = TimeSpan.FromSeconds(5), Retries = 0 }), TimeProvider.System);

    private static DrawSheet Sheet(SheetUnit unit = SheetUnit.Milliwatt) => new(
        "test", "TEST-MIB", "test", [], [new SheetColumn(SheetQuantity.Draw, Maker + "4", unit, SheetIndex.GroupAndPort, false)], ClassCoding.ClassPlusOne, [], false);

    private void Ports(params (int Port, int State, int Classification)[] ports)
    {
        foreach (var (port, state, classification) in ports)
        {
            Put($"1.3.6.1.2.1.105.1.1.1.6.1.{port}", SnmpValue.Integer32(state));
            Put($"1.3.6.1.2.1.105.1.1.1.10.1.{port}", SnmpValue.Integer32(classification));
        }
    }

    private void Draws(params int[] raw)
    {
        for (var i = 0; i < raw.Length; i++)
        {
            Put(FormattableString.Invariant($"{Maker}4.1.{i + 1}"), SnmpValue.Integer32(raw[i]));
        }
    }

    private void Group(uint total)
    {
        Put("1.3.6.1.2.1.105.1.3.1.1.2.1", SnmpValue.Gauge32(370));
        Put("1.3.6.1.2.1.105.1.3.1.1.3.1", SnmpValue.Integer32(1));
        Put("1.3.6.1.2.1.105.1.3.1.1.4.1", SnmpValue.Gauge32(total));
    }

    private void Put(string oid, SnmpValue value) => _agent.Table.Set(oid, value);

    private Task<SwitchReading> PollAsync(DrawColumn? column = null) => _reader.ReadAsync(
        new PollTarget(
            "quay", new SnmpAgent("127.0.0.1", _agent.Endpoint.Port, "harbour-ro", TimeSpan.FromSeconds(60), column), PortTypes.None),
        TestContext.Current.CancellationToken);

    private sealed class Credentials : ICredentialSource
    {
        public SnmpCredentials? Find(string name, out string problem)
        {
            problem = string.Empty;
            return new CommunityCredentials("harbour");
        }
    }
}
