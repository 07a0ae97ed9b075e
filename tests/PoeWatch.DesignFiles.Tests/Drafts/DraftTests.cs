using System.Collections.Immutable;
using PoeWatch.DesignFiles.Drafts;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.DesignFiles.Tests.Drafts;

/// <summary>Designs drafted from made-up answers: whatever switches say, the draft is a design without errors.</summary>
public sealed class DraftTests
{
    [Fact]
    public void Every_class_at_the_longest_cable_is_a_design_without_errors()
    {
        var ports = Enum.GetValues<PoeClass>().Select((c, i) => Port(1, i + 1, c, 2)).ToArray();

        DesignModel model = Load(Source("quay", ports, budgetW: 2000));

        Assert.Equal(9, model.CableRuns.Count);
        foreach (PortReading port in ports)
        {
            var device = model.Devices.Values.Single(d => d.Id == $"device-quay-{port.Port.Port}");
            Assert.Equal(port.AssignedClass, model.DeviceTypes[device.TypeId].RequestedClass);
        }
    }

    [Fact]
    public void Classes_beyond_the_budget_are_shared_out_by_draw_and_the_draft_says_so()
    {
        PortReading[] ports = [.. Enumerable.Range(1, 24).Select(i => Port(1, i, PoeClass.Class4, i < 4 ? 20 : 4))];

        var (model, text) = Read(Source("quay", ports, budgetW: 370));

        Assert.Contains("its classes together exceed that", text, StringComparison.Ordinal);
        Assert.Equal(370, model.Switches["quay"].Groups[1].Budget.Watts);
        Assert.True(Demand(model, "device-quay-1") > Demand(model, "device-quay-9"));
    }

    [Fact]
    public void A_draw_above_the_class_that_RFC_3621_can_show_makes_a_better_port()
    {
        DesignModel model = Load(Source("quay", [Port(1, 1, PoeClass.Class4, 48)], budgetW: 370));

        Assert.Equal(PoeClass.Class6, model.DeviceTypes[Assert.Single(model.Devices.Values).TypeId].RequestedClass);
    }

    [Fact]
    public void A_budget_that_is_not_said_is_to_be_filled_in_and_large_enough()
    {
        var (model, text) = Read(Source("quay", [Port(1, 1, PoeClass.Class4, 12), Port(3, 2, PoeClass.Class3, 5)], budgetW: null));

        Assert.Equal([1, 3], model.Switches["quay"].Groups.Keys.Order());
        Assert.Equal(2, text.Split("fill in the budget").Length - 1);
    }

    [Fact]
    public void Words_that_number_poles_gather_their_ports_whatever_else_is_numbered()
    {
        string[] aliases = ["Pole 12 cam 1", "pole-12 AP 2", "POLE_013/cam1", "spare camera", "cam 4 pole 14"];
        var source = Source("quay", [.. aliases.Select((_, i) => Port(1, i + 1, PoeClass.Class3, 5))], 370);
        source = source with { Reading = WithInterfaces(source.Reading!, i => aliases[i - 1], _ => []) };

        var (model, text) = Read(source);

        Assert.Equal(["pole-12", "pole-13", "pole-14", "pole-quay-4"], model.Poles.Keys.Order(StringComparer.Ordinal));
        Assert.Equal(2, model.Devices.Values.Count(d => d.PoleId == "pole-12"));
        Assert.Contains("# guess: from 'Pole 12 cam 1'", text, StringComparison.Ordinal);
        Assert.Contains("# guess: a pole of its own for the run of quay:1/4", text, StringComparison.Ordinal);
    }

    [Fact]
    public void Uplinks_follow_LLDP_by_chassis_and_name_and_never_form_a_loop()
    {
        // A ring of three, and one that only its neighbour sees.
        DraftSource[] ring =
        [
            Switch("a", ("x1", "", "02:00:00:00:00:02"), ("x2", "c", "")), Switch("b", ("x1", "", "02:00:00:00:00:01"), ("x2", "c", "")),
            Switch("c", ("x1", "a", ""), ("x2", "b", ""), ("x3", "", "02:00:00:00:00:04"), ("x4", "stranger", "")), Switch("d"),
        ];

        var (model, text) = Read([.. ring.Select((source, i) => source with { ChassisIds = [$"02:00:00:00:00:0{i + 1}"] })]);

        Assert.Null(model.Switches["c"].Uplink);
        Assert.All(new[] { "a", "b", "d" }, id => Assert.Equal("c", model.Switches[id].Uplink!.SwitchId));
        Assert.Contains("# guess: c sees d at x3 (LLDP)", text, StringComparison.Ordinal);
    }

    [Fact]
    public void What_did_not_answer_is_listed_and_not_dropped()
    {
        var silent = new DraftSource("192.0.2.9:1161", "default", "quay-north", "", [], null, [], "silent over 3 attempts");
        var printer = Source("printer", [], 100);

        var (model, text) = Read(Source("quay", [Port(1, 1, PoeClass.Class3, 5)], 370), silent, printer);

        Assert.Single(model.Switches);
        Assert.Contains("missing: 192.0.2.9:1161 did not answer: silent over 3 attempts", text, StringComparison.Ordinal);
        Assert.Contains("id: quay-north", text, StringComparison.Ordinal);
        Assert.Contains("shows no PSE port", text, StringComparison.Ordinal);
    }

    [Fact]
    public void Two_addresses_of_one_switch_are_one_switch_and_a_chassis_id_alone_proves_nothing()
    {
        DraftSource[] sources = [.. new[] { "quay", "quay", "pier" }.Select(name => Source(name, [Port(1, 1, PoeClass.Class3, 5)], 370) with { ChassisIds = ["00:00:00:00:00:00"] })];

        var (model, text) = Read(sources);

        Assert.Equal(["pier", "quay"], model.Switches.Keys.Order(StringComparer.Ordinal));
        Assert.Contains("missing: 192.0.2.1:1001 is another address of quay", text, StringComparison.Ordinal);
    }

    // YAML 1.2.2, sections 5.4 and 6.6: what ends a line ends a comment; a quoted scalar ends at its quote.
    [Theory]
    [InlineData("quay\nformat: other")]
    [InlineData("a\u2028b\u0085c\u2029d")]
    [InlineData("\"}, {id: x, evil: \"")]
    [InlineData("back\\slash \\\" and 'quotes' # no comment")]
    [InlineData("\u202eright to left\u0007")]
    [InlineData("- : {[&*!|>%@`")]
    [InlineData("\ud83d\udea2 Käpt’n")]
    [InlineData("   ")]
    public void Whatever_an_agent_calls_things_stays_a_name(string name)
    {
        var source = Source(name, [Port(1, 1, PoeClass.Class3, 5), Port(1, 2, PoeClass.Class3, 5)], 370);
        source = source with { Reading = WithInterfaces(source.Reading!, _ => name, _ => [new Neighbour(name, name, name)]), Trouble = name };

        DesignModel model = Load(source, Source("quay", [Port(1, 1, PoeClass.Class3, 5)], 370));

        Assert.Equal(2, model.Switches.Count);
        Assert.Equal(3, model.Devices.Count);
    }

    [Fact]
    public void A_name_that_two_devices_tell_is_no_name_to_check_by()
    {
        var source = Source("quay", [Port(1, 1, PoeClass.Class3, 5), Port(1, 2, PoeClass.Class3, 5), Port(1, 3, PoeClass.Class3, 5)], 370);
        source = source with { Reading = WithInterfaces(source.Reading!, _ => "", i => [new Neighbour(i == 3 ? "horn" : "camera", "", "")]) };

        var (_, text) = Read(source);

        Assert.Contains("lldp-name: horn", text, StringComparison.Ordinal);
        Assert.DoesNotContain("lldp-name: camera", text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_site_of_500_poles_need_not_be_typed()
    {
        DraftSource[] sources =
        [
            .. Enumerable.Range(0, 25).Select(s =>
            {
                var source = Source($"quay-{s}", [.. Enumerable.Range(1, 20).Select(p => Port(1, p, (PoeClass)(p % 5), 3 + (p % 3)))], 740);
                return source with { Reading = WithInterfaces(source.Reading!, p => $"P{(s * 20) + p:000} camera", _ => []) };
            }),
        ];

        var (model, text) = Read(sources);

        Assert.Equal((25, 500, 500, 500), (model.Switches.Count, model.Poles.Count, model.Devices.Count, model.CableRuns.Count));
        Assert.Equal(500, text.Split("# fill in: length and cable").Length - 1);
    }

    private static double Demand(DesignModel model, string device) => model.DeviceTypes[model.Devices[device].TypeId].Demand.Watts;

    private static DesignModel Load(params DraftSource[] sources) => Read(sources).Model;

    private static (DesignModel Model, string Text) Read(params DraftSource[] sources)
    {
        var text = DraftText.Write(DraftBuilder.Build([.. sources.Select((s, i) => s.Reading is null ? s : s with { Address = $"192.0.2.1:{1000 + i}" })]), ["Drafted for a test."]);
        DesignResult read = DesignFile.Parse(text, "draft.yaml", _ => new FoundText(null, "none")).Result;
        Assert.True(read.Model is not null, string.Join(Environment.NewLine, read.Problems) + Environment.NewLine + text);
        return (read.Model, text);
    }

    private static DraftSource Switch(string name, params (string Interface, string Name, string Chassis)[] neighbours) =>
        Source(name, [Port(1, 1, PoeClass.Class3, 5)], 370) with { Neighbours = [.. neighbours.Select(n => (n.Interface, new Neighbour(n.Name, n.Chassis, "")))] };

    private static DraftSource Source(string name, PortReading[] ports, double? budgetW) => new(
        "192.0.2.1", "default", "", name, [],
        new SwitchReading(
            "inspected", 0, DateTimeOffset.UnixEpoch, PollOutcome.Answered, "", null, [.. ports],
            [.. ports.Select(p => p.Port.Group).Distinct().Select(g => new GroupReading(g, budgetW is { } watts ? Power.FromWatts(watts) : null, null, Provenance.Unknown, true))]),
        [], "");

    private static PortReading Port(int group, int port, PoeClass poeClass, double drawW) =>
        new(new PsePortRef("inspected", group, port), PortState.Delivering, Power.FromWatts(drawW), Provenance.Measured, poeClass);

    private static SwitchReading WithInterfaces(SwitchReading reading, Func<int, string> alias, Func<int, ImmutableArray<Neighbour>> neighbours) => reading with
    {
        Interfaces = reading.Ports.ToImmutableDictionary(
            p => p.Port, p => new PortInterface(p.Port.Port, $"Gi{p.Port.Port}", alias(p.Port.Port), "test", true, 1000, null, neighbours(p.Port.Port))),
    };
}
