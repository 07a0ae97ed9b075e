using PoeWatch.Domain.DrawSheets;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Polling.DrawSources;
using PoeWatch.Snmp;
using static PoeWatch.Monitoring.Tests.Polling.DrawSources.Answers;

namespace PoeWatch.Monitoring.Tests.Polling.DrawSources;

/// <summary>Columns below the enterprise number that RFC 5612 sets aside for examples.</summary>
public class SheetSourceTests
{
    private const string Draw = "1.3.6.1.4.1.32473.7.1.4";
    private const string Volts = "1.3.6.1.4.1.32473.7.1.5";
    private const string Amperes = "1.3.6.1.4.1.32473.7.1.6";
    private const string Allocated = "1.3.6.1.4.1.32473.7.1.7";
    private const string Measures = "1.3.6.1.4.1.32473.7.2.1";

    [Theory]
    [InlineData(SheetUnit.Milliwatt, 4500, 4.5, 0.001)]
    [InlineData(SheetUnit.Deciwatt, 45, 4.5, 0.1)]
    [InlineData(SheetUnit.Watt, 45, 45, 1)]
    public void Numbers_are_read_in_their_unit_and_carry_its_step(SheetUnit unit, int raw, double watts, double step)
    {
        PortDraw read = Read(new SheetDrawSource(Sheet(Column(SheetQuantity.Draw, Draw, unit))), Ports((1, 1)), Cells(Draw, ("1.1", Number(raw))))[0];

        Assert.Equal((watts, step, Provenance.Measured), (read.Watts.Watts, read.Resolution.Watts, read.Provenance));
    }

    [Fact]
    public void Numbers_as_text_are_read_whatever_pads_them_and_only_where_the_sheet_says_text()
    {
        FastAnswers answer = Cells(Draw, ("1.1", SnmpValue.Text(" 2.3\0")));

        Assert.Equal(2.3, Read(new SheetDrawSource(Sheet(Column(SheetQuantity.Draw, Draw, SheetUnit.Watt, isText: true))), Ports((1, 1)), answer)[0].Watts.Watts);
        Assert.False(Read(new SheetDrawSource(Sheet(Column(SheetQuantity.Draw, Draw, SheetUnit.Watt))), Ports((1, 1)), answer)[0].IsKnown);
    }

    [Fact]
    public void What_is_no_number_of_watts_is_not_read_as_one()
    {
        SheetColumn column = Column(SheetQuantity.Draw, Draw, SheetUnit.Watt, isText: true);

        Assert.Null(SheetValues.Watts(Number(-1), column));
        Assert.Null(SheetValues.Watts(SnmpValue.Text("n/a"), column));
        Assert.Null(SheetValues.Watts(SnmpValue.Text("1e2"), column));
        Assert.Null(SheetValues.Watts(SnmpValue.NoSuchInstance, column));
        Assert.Null(SheetValues.Watts(SnmpValue.Counter64(ulong.MaxValue / 4), column));
        Assert.Null(SheetValues.Watts(Number(25_000), column));
        Assert.Equal(200, SheetValues.Watts(Number(200), column)!.Value.Watts);
    }

    [Fact]
    public void A_port_number_alone_belongs_to_the_only_group_whatever_its_number()
    {
        var source = new SheetDrawSource(Sheet(Column(SheetQuantity.Draw, Draw, SheetUnit.Watt, SheetIndex.Port)));

        Assert.Equal(7, Read(source, Ports((4, 2)), Cells(Draw, ("2", Number(7))))[0].Watts.Watts);
        Assert.False(Read(source, Ports((1, 2), (2, 2)), Cells(Draw, ("2", Number(7))))[0].IsKnown);
    }

    [Fact]
    public void Bridge_ports_are_mapped_through_their_interface()
    {
        var ports = new PortIndexes(
            Ports((1, 9)).Ports, new Dictionary<PsePortRef, int> { [new PsePortRef("s", 1, 9)] = 1009 }, basePorts: new Dictionary<int, int> { [33] = 1009, [34] = 1010 });
        var source = new SheetDrawSource(Sheet(Column(SheetQuantity.Draw, Draw, SheetUnit.Milliwatt, SheetIndex.BasePort)));

        DrawSlots read = Read(source, ports, Cells(Draw, ("33", Number(6100)), ("34", Number(9999))));

        Assert.Equal(6.1, read[0].Watts.Watts);
    }

    [Fact]
    public void On_a_model_that_is_an_exception_the_column_is_an_allocation()
    {
        DrawSheet sheet = Sheet(Column(SheetQuantity.Draw, Draw, SheetUnit.Milliwatt)) with
        {
            Exceptions = [new SheetException("1.3.6.1.4.1.32473.1.7", "", "test"), new SheetException("", "OLD-48", "test")],
        };
        FastAnswers answer = Cells(Draw, ("1.1", Number(15400)));

        Assert.Equal(Provenance.Measured, Worth("1.3.6.1.4.1.32473.1.70", "NEW-48"));
        Assert.Equal(Provenance.Allocated, Worth("1.3.6.1.4.1.32473.1.7.2", "NEW-48"));
        Assert.Equal(Provenance.Allocated, Worth("1.3.6.1.4.1.32473.1.70", "switch OLD-48, release 3"));

        Provenance Worth(string objectId, string description) => Read(
            new SheetDrawSource(sheet), Ports((1, 1)), answer, new AgentOffer(objectId, description, SlowAnswers.None))[0].Provenance;
    }

    [Fact]
    public void A_group_that_says_it_does_not_measure_shows_allocations()
    {
        // TruthValue of RFC 2579: true(1), false(2).
        DrawSheet sheet = Sheet(Column(SheetQuantity.Draw, Draw, SheetUnit.Milliwatt), new SheetColumn(SheetQuantity.Measures, Measures, SheetUnit.None, SheetIndex.Group, false));
        AgentOffer offer = Offer(Answers.Column(Measures, ("1", Number(1)), ("2", Number(2))));

        DrawSlots read = Read(new SheetDrawSource(sheet), Ports((1, 1), (2, 1)), Cells(Draw, ("1.1", Number(6000)), ("2.1", Number(7000))), offer);

        Assert.Equal((Provenance.Measured, Provenance.Allocated), (read[0].Provenance, read[1].Provenance));
    }

    [Fact]
    public void Volts_times_amperes_are_derived_and_known_to_the_steps_of_both()
    {
        SheetColumn volts = Column(SheetQuantity.Volts, Volts, SheetUnit.Decivolt);
        SheetColumn amperes = Column(SheetQuantity.Amperes, Amperes, SheetUnit.Milliampere);
        var fast = new FastAnswers(Answers.Column(Volts, ("1.1", Number(530)), ("1.3", Number(5300))), Answers.Column(Amperes, ("1.1", Number(200)), ("1.2", Number(90)), ("1.3", Number(90))));

        DrawSlots read = Read(new VoltsAmperesSource(Sheet(volts, amperes), volts, amperes), Ports((1, 1), (1, 2), (1, 3)), fast);

        // 53 V x 0.2 A = 10.6 W; 53 V x 1 mA + 0.2 A x 0.1 V = 73 mW. Port 2 has no volts, port 3 more than any PSE.
        Assert.Equal((10.6, 0.073, Provenance.Derived), (Math.Round(read[0].Watts.Watts, 9), Math.Round(read[0].Resolution.Watts, 9), read[0].Provenance));
        Assert.Equal((false, false), (read[1].IsKnown, read[2].IsKnown));
    }

    [Fact]
    public void Nothing_set_aside_for_a_port_is_no_ceiling_of_it()
    {
        SheetColumn allocated = Column(SheetQuantity.Allocated, Allocated, SheetUnit.Milliwatt);

        DrawSlots read = Read(
            new SheetAllocationSource(Sheet(allocated), allocated), Ports((1, 1), (1, 2)), Cells(Allocated, ("1.1", Number(0)), ("1.2", Number(30000))));

        Assert.Equal((false, Provenance.Allocated), (read[0].IsKnown, read[1].Provenance));
    }

    [Fact]
    public void A_draw_takes_the_place_of_a_ceiling_and_nothing_else_does()
    {
        var slots = new DrawSlots(1);
        slots.Put(0, Known(30, Provenance.Allocated));
        slots.Put(0, Known(12, Provenance.Derived));
        slots.Put(0, Known(11, Provenance.Measured));
        slots.Put(0, Known(25, Provenance.Lldp));

        Assert.Equal((12.0, Provenance.Derived), (slots[0].Watts.Watts, slots[0].Provenance));
    }

    private static PortDraw Known(double watts, Provenance provenance) => new(Domain.Quantities.Power.FromWatts(watts), provenance, default, TimeSpan.Zero);

    private static FastAnswers Cells(string oid, params (string Index, SnmpValue Value)[] cells) => new(Answers.Column(oid, cells));

    private static SheetColumn Column(
        SheetQuantity holds, string oid, SheetUnit unit, SheetIndex index = SheetIndex.GroupAndPort, bool isText = false) => new(holds, oid, unit, index, isText);

    private static DrawSheet Sheet(params SheetColumn[] columns) => new("test", "TEST-MIB", "test", [], [.. columns], ClassCoding.ClassPlusOne, [], false);
}
