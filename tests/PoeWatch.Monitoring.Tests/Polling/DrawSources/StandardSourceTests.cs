using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Polling;
using PoeWatch.Monitoring.Polling.DrawSources;
using PoeWatch.Snmp;
using static PoeWatch.Monitoring.Tests.Polling.DrawSources.Answers;

namespace PoeWatch.Monitoring.Tests.Polling.DrawSources;

/// <summary>Sources that standards define. Object numbers and codes are those of the document that each test names.</summary>
public class StandardSourceTests
{
    // IEEE Std 802.3.1: columns 15 (milliwatts), 16 (plus or minus milliwatts) and 17 (millijoules) of pethPsePortTable.
    private const string Ieee = "1.3.111.2.802.3.1.8.1.1.1";

    [Fact]
    public void Actual_power_of_IEEE_802_3_1_carries_the_accuracy_that_the_agent_states()
    {
        DrawSlots read = Read(
            IeeePowerSource.AtIeeeRoot, Ports((1, 1), (2, 5)), new FastAnswers(Column(Ieee + ".15", ("1.1", Number(25_437)), ("2.5", Number(-1)))),
            Offer(Column(Ieee + ".16", ("1.1", Number(250)))));

        Assert.Equal((25.437, 0.25, Provenance.Measured), (read[0].Watts.Watts, read[0].Resolution.Watts, read[0].Provenance));
        Assert.False(read[1].IsKnown);
    }

    [Fact]
    public void Energy_over_the_agents_time_is_a_mean_and_known_from_the_second_reading_on()
    {
        var source = new CumulativeEnergySource();
        PortIndexes ports = Ports((1, 1));

        PortDraw first = Energy(source, ports, 4_294_900_000, TimeSpan.FromSeconds(1000))[0];

        // 60 s at 12 W are 720,000 mJ: the counter goes round (Counter32 of RFC 2578 after 4294967295).
        PortDraw second = Energy(source, ports, unchecked(4_294_900_000 + 720_000), TimeSpan.FromSeconds(1060))[0];

        Assert.False(first.IsKnown);
        Assert.Equal((12.0, Provenance.Derived, 30.0), (second.Watts.Watts, second.Provenance, second.Age.TotalSeconds));
    }

    [Fact]
    public void No_mean_goes_across_a_restart_or_a_counter_that_may_have_gone_round_twice()
    {
        var source = new CumulativeEnergySource();
        PortIndexes ports = Ports((1, 1));
        Energy(source, ports, 5_000_000, TimeSpan.FromSeconds(5000));

        Assert.False(Energy(source, ports, 60_000, TimeSpan.FromSeconds(5))[0].IsKnown);

        // 4294967.295 J at 100 W are 42,949 s.
        Assert.False(Energy(source, ports, 70_000, TimeSpan.FromSeconds(5 + 43_000))[0].IsKnown);
    }

    // RFC 7460: eoPowerMeasurementCaliber unavailable(1) unknown(2) actual(3) estimated(4) static(5); eoPowerMeasurementLocal is a TruthValue;
    // eoPowerUnitMultiplier is the exponent itself: milli(-3).
    [Theory]
    [InlineData(3, 1, Provenance.Measured)]
    [InlineData(3, 2, Provenance.ReportedByPd)]
    [InlineData(4, 1, Provenance.Estimated)]
    [InlineData(5, 1, Provenance.Nameplate)]
    [InlineData(2, 1, Provenance.Unknown)]
    [InlineData(1, 1, Provenance.Unknown)]
    public void An_energy_object_is_worth_what_its_agent_says(int caliber, int isLocal, Provenance expected)
    {
        AgentOffer offer = Offer(
            Column("1.3.6.1.2.1.229.1.2.1.3", ("1042", Number(-3))), Column("1.3.6.1.2.1.229.1.2.1.5", ("1042", Number(caliber))),
            Column("1.3.6.1.2.1.229.1.2.1.7", ("1042", Number(isLocal))), Column("1.3.6.1.2.1.229.1.2.1.4", ("1042", Number(500))),
            Column("1.3.6.1.2.1.231.1.1.1.1", ("1042", Number(7))), Column("1.3.6.1.2.1.231.1.1.1.2", ("1042", Number(2))));
        var fast = new FastAnswers(Column("1.3.6.1.2.1.229.1.2.1.1", ("1042", Number(-8200)), ("1043", Number(5000))));

        PortDraw read = Read(new EnergyObjectSource(), Ports((1, 7), (2, 7)), fast, offer)[1];

        Assert.Equal(expected, read.Provenance);
        Assert.Equal(expected == Provenance.Unknown ? 0 : 8.2, read.Watts.Watts, 9);

        // 500 hundredths of a percent of 8.2 W.
        Assert.Equal(expected == Provenance.Unknown ? 0 : 0.41, read.Resolution.Watts, 9);
    }

    [Fact]
    public void Energy_objects_without_a_tie_to_a_port_are_refused()
    {
        Assert.False(new EnergyObjectSource().Gate(Offer(Column("1.3.6.1.2.1.231.1.1.1.1", ("1042", Number(0))))).Passes);
    }

    // RFC 3433: scale units(9), milli(8), kilo(10); precision 1 to 9 are decimals, negative ones are none; -1000000000 and 1000000000 mean beyond.
    [Theory]
    [InlineData(123, 9, 1, 1, 12.3)]
    [InlineData(12345, 8, 0, 1, 12.345)]
    [InlineData(15, 10, 3, 1, 15.0)]
    [InlineData(7, 9, -2, 1, 7.0)]
    [InlineData(7, 9, 0, 2, null)]
    [InlineData(1_000_000_000, 8, 0, 1, null)]
    [InlineData(7, 18, 0, 1, null)]
    public void Values_of_RFC_3433_are_scaled_and_only_taken_when_ok(int value, int scale, int precision, int status, double? expected) =>
        Assert.Equal(expected, EntityValues.InUnits(value, scale, precision, status) is { } found ? Math.Round(found, 9) : null);

    [Fact]
    public void Watts_in_a_port_of_the_entity_tree_are_the_ports_and_those_of_a_supply_are_nobodys()
    {
        // entPhysicalClass: port(10), powerSupply(6), sensor(8). 501 stands in 500 in port 50; 601 in supply 60.
        AgentOffer offer = Offer(
            Column("1.3.6.1.2.1.99.1.1.1.1", ("501", Number(6)), ("601", Number(6))), Column("1.3.6.1.2.1.99.1.1.1.2", ("501", Number(8)), ("601", Number(8))),
            Column("1.3.6.1.2.1.99.1.1.1.3", ("501", Number(0)), ("601", Number(0))),
            Column("1.3.6.1.2.1.47.1.1.1.1.4", ("501", Number(500)), ("500", Number(50)), ("601", Number(60)), ("60", Number(1))),
            Column("1.3.6.1.2.1.47.1.1.1.1.5", ("501", Number(8)), ("500", Number(9)), ("50", Number(10)), ("60", Number(6)), ("1", Number(3))));
        var fast = new FastAnswers(
            Column("1.3.6.1.2.1.99.1.1.1.4", ("501", Number(6400)), ("601", Number(99000))), Column("1.3.6.1.2.1.99.1.1.1.5", ("501", Number(1)), ("601", Number(1))),
            Column("1.3.6.1.2.1.99.1.1.1.7", ("501", SnmpValue.TimeTicks(9_000))));
        var port = new PsePortRef("s", 1, 5);
        var ports = new PortIndexes([port], new Dictionary<PsePortRef, int> { [port] = 10105 }, entities: new Dictionary<int, int> { [50] = 10105, [60] = 10106 });

        PortDraw read = Read(new EntityWattsSource(), ports, fast, offer, TimeSpan.FromSeconds(100))[0];

        Assert.Equal((6.4, Provenance.Measured, 10.0), (read.Watts.Watts, read.Provenance, read.Age.TotalSeconds));
    }

    [Fact]
    public void Two_watt_values_in_one_port_are_both_left()
    {
        AgentOffer offer = Offer(
            Column("1.3.6.1.2.1.99.1.1.1.1", ("501", Number(6)), ("502", Number(6))), Column("1.3.6.1.2.1.99.1.1.1.2", ("501", Number(9)), ("502", Number(9))),
            Column("1.3.6.1.2.1.99.1.1.1.3", ("501", Number(0)), ("502", Number(0))), Column("1.3.6.1.2.1.47.1.1.1.1.4", ("501", Number(50)), ("502", Number(50))),
            Column("1.3.6.1.2.1.47.1.1.1.1.5", ("50", Number(10))));
        var fast = new FastAnswers(
            Column("1.3.6.1.2.1.99.1.1.1.4", ("501", Number(6)), ("502", Number(1))), Column("1.3.6.1.2.1.99.1.1.1.5", ("501", Number(1)), ("502", Number(1))));
        var port = new PsePortRef("s", 1, 5);
        var ports = new PortIndexes([port], new Dictionary<PsePortRef, int> { [port] = 10105 }, entities: new Dictionary<int, int> { [50] = 10105 });

        Assert.False(Read(new EntityWattsSource(), ports, fast, offer)[0].IsKnown);
    }

    // IEEE 802.3 clause 33 and 145, least output of a PSE by class: 12.95 W at the PD are 15.4 W, 25.5 are 30, 51 are 60, 71.3 are 90.
    [Theory]
    [InlineData(12.95, 15.4)]
    [InlineData(25.5, 30.0)]
    [InlineData(51, 60)]
    [InlineData(71.3, 90.0)]
    public void The_most_that_the_cable_can_lose_turns_PD_power_into_that_of_the_class_tables(double atPd, double atPse) =>
        Assert.Equal(atPse, ChannelLoss.AtPse(Power.FromWatts(atPd))!.Value.Watts, 0.1);

    [Fact]
    public void LLDP_watts_count_tenths_at_the_PD_and_are_a_ceiling_with_the_age_of_the_survey()
    {
        var port = new PsePortRef("s", 1, 5);
        var ports = new PortIndexes(
            [port], new Dictionary<PsePortRef, int> { [port] = 10105 }, lldpPorts: new Dictionary<int, int> { [5] = 10105 });

        foreach (var (column, index) in new[] { (LldpOids.AllocatedV2, "10105"), (LldpOids.Allocated, "5"), (LldpOids.RequestedV2, "9000.10105.1.2"), (LldpOids.Requested, "9000.5.2"), (LldpOids.RequestedMed, "9000.5.2") })
        {
            LldpPowerSource source = LldpPowerSource.All.Single(s => s.Marker == column);
            AgentOffer offer = Offer(Column(column.ToString(), (index, Number(255))));

            PortDraw read = Read(source, ports, FastAnswers.None, offer)[0];

            Assert.Equal((30.0, Provenance.Lldp, 30.0), (Math.Round(read.Watts.Watts, 6), read.Provenance, read.Age.TotalSeconds));
            Assert.True(source.Gate(offer).Passes);
            Assert.False(source.Gate(Offer(Column(column.ToString(), (index, Number(0))))).Passes);
        }
    }

    private static DrawSlots Energy(CumulativeEnergySource source, PortIndexes ports, uint millijoules, TimeSpan upTime) =>
        Read(source, ports, new FastAnswers(Column(Ieee + ".17", ("1.1", SnmpValue.Counter32(millijoules)))), null, upTime);
}
