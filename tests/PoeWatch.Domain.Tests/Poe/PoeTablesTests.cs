using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Tests.Poe;

/// <summary>The tables against what others print of IEEE 802.3, and against each other.</summary>
public sealed class PoeTablesTests
{
    // TI TPS2378 data sheet, Table 1 (classes 0 to 4); TI TPS2379 data sheet, Table 2 (class 3 and 4).
    [Theory]
    [InlineData(PoeClass.Class0, 15.4, 12.95)]
    [InlineData(PoeClass.Class1, 4.0, 3.84)]
    [InlineData(PoeClass.Class2, 7.0, 6.49)]
    [InlineData(PoeClass.Class3, 15.4, 12.95)]
    [InlineData(PoeClass.Class4, 30.0, 25.5)]
    public void Clause_33_rows_are_those_of_the_published_table(PoeClass poeClass, double pseWatts, double pdWatts)
    {
        var row = PoeTables.LimitsOf(poeClass, PoeClause.Clause33);

        Assert.Equal((pseWatts, pdWatts), (row.PseMinimumOutput.Watts, row.PdMaximumInput.Watts));
    }

    // Ethernet Alliance, overview of IEEE 802.3bt (2018), class table; classes 2 and 3 from memory (see the closing test). Class 0 is treated as class 3.
    [Theory]
    [InlineData(PoeClass.Class0, 14.0, 13.0)]
    [InlineData(PoeClass.Class1, 4.0, 3.84)]
    [InlineData(PoeClass.Class2, 6.7, 6.49)]
    [InlineData(PoeClass.Class3, 14.0, 13.0)]
    [InlineData(PoeClass.Class4, 30.0, 25.5)]
    [InlineData(PoeClass.Class5, 45.0, 40.0)]
    [InlineData(PoeClass.Class6, 60.0, 51.0)]
    [InlineData(PoeClass.Class7, 75.0, 62.0)]
    [InlineData(PoeClass.Class8, 90.0, 71.3)]
    public void Clause_145_rows_are_those_of_the_published_table(PoeClass poeClass, double pseWatts, double pdWatts)
    {
        var row = PoeTables.LimitsOf(poeClass, PoeClause.Clause145);

        Assert.Equal((pseWatts, pdWatts), (row.PseMinimumOutput.Watts, row.PdMaximumInput.Watts));
    }

    [Fact]
    public void Clause_33_has_no_class_5() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => PoeTables.LimitsOf(PoeClass.Class5, PoeClause.Clause33));

    // TI TPS2379 data sheet, Table 2: 44 V and 37 V, 50 V and 42.5 V; injector maker's table for Types 3 and 4: 50 and 42.5 V, 52 and 41.1 V.
    [Theory]
    [InlineData(PoeType.Type1, 44.0, 37.0, 0.350, 20.0)]
    [InlineData(PoeType.Type2, 50.0, 42.5, 0.600, 12.5)]
    [InlineData(PoeType.Type3, 50.0, 42.5, 0.600, 12.5)]
    [InlineData(PoeType.Type4, 52.0, 41.1, 0.960, 12.5)]
    public void Type_rows_are_those_of_the_published_tables(PoeType type, double pseVolts, double pdVolts, double amperes, double loopOhms)
    {
        var row = PoeTables.LimitsOf(type)!.Value;

        Assert.Equal(pseVolts, row.PseMinimumVoltage.Volts);
        Assert.Equal(pdVolts, row.PdMinimumVoltage.Volts);
        Assert.Equal((57.0, 57.0), (row.PseMaximumVoltage.Volts, row.PdMaximumVoltage.Volts));
        Assert.Equal(amperes, row.PairsetMaximumCurrent.Amperes);
        Assert.Equal(loopOhms, row.ChannelLoopTwoPair.Ohms);
    }

    // The windows must close: lowest volts at the PSE less the drop of the highest current over the worst channel are the lowest at the PD.
    [Theory]
    [InlineData(PoeType.Type1, 2)]
    [InlineData(PoeType.Type2, 2)]
    [InlineData(PoeType.Type3, 4)]
    public void Voltage_windows_close_over_the_worst_channel(PoeType type, int pairs)
    {
        var row = PoeTables.LimitsOf(type)!.Value;

        var atPd = row.PseMinimumVoltage - (row.MaximumCurrent(pairs) * row.ChannelLoop(pairs));

        Assert.Equal(row.PdMinimumVoltage.Volts, atPd.Volts, 1e-9);
    }

    // IEEE 802.3-2022 Tables 145-1 (1.92 A) and 145-16 (99.9 W), as quoted by Linux include/linux/pse-pd/pse.h.
    [Fact]
    public void Both_pairsets_of_type_4_together_stay_under_the_port_ceiling()
    {
        var row = PoeTables.LimitsOf(PoeType.Type4)!.Value;

        var most = 2.0 * row.PairsetMaximumCurrent * row.PseMinimumVoltage;

        Assert.Equal(1.92, row.TotalMaximumCurrent.Amperes);
        Assert.Equal(99.84, most.Watts, 1e-9);
        Assert.InRange(most.Watts, 0.0, row.MaximumPortOutput!.Value.Watts);
    }

    // Types 1 and 2 feed one pairset, so its limit is the port's; Type 3 two of 0.6 A; Type 4: 1.92 A (Table 145-1, as quoted by Linux pse.h).
    [Theory]
    [InlineData(PoeType.Type1, 0.350)]
    [InlineData(PoeType.Type2, 0.600)]
    [InlineData(PoeType.Type3, 1.200)]
    [InlineData(PoeType.Type4, 1.920)]
    public void All_powered_pairs_together_have_a_limit_too(PoeType type, double amperes) =>
        Assert.Equal(amperes, PoeTables.LimitsOf(type)!.Value.TotalMaximumCurrent.Amperes);

    [Fact]
    public void Equipment_outside_the_standard_has_no_limits_of_a_type() => Assert.Null(PoeTables.LimitsOf(PoeType.Unknown));

    // A bound must not be too low, so where the clauses differ the higher one counts.
    [Theory]
    [InlineData(PoeClass.Class0, 15.4)]
    [InlineData(PoeClass.Class1, 4.0)]
    [InlineData(PoeClass.Class2, 7.0)]
    [InlineData(PoeClass.Class3, 15.4)]
    [InlineData(PoeClass.Class4, 30.0)]
    [InlineData(PoeClass.Class8, 90.0)]
    public void Class_bound_at_the_pse_is_the_higher_of_both_clauses(PoeClass poeClass, double watts) =>
        Assert.Equal(watts, PoeTables.ClassBoundAtPse(poeClass).Watts);

    [Theory]
    [InlineData(15.4, PoeType.Type1, PoeClass.Class3)]
    [InlineData(30.0, PoeType.Type2, PoeClass.Class4)]
    [InlineData(29.9, PoeType.Type2, PoeClass.Class3)]
    [InlineData(30.0, PoeType.Type3, PoeClass.Class4)]
    [InlineData(95.0, PoeType.Type3, PoeClass.Class6)]
    [InlineData(60.0, PoeType.Type4, PoeClass.Class6)]
    [InlineData(95.0, PoeType.Type4, PoeClass.Class8)]
    [InlineData(6.9, PoeType.Type1, PoeClass.Class1)]
    public void Limit_and_type_together_decide_the_class_that_can_be_granted(double watts, PoeType type, PoeClass expected) =>
        Assert.Equal(expected, PoeTables.HighestGrantable(Power.FromWatts(watts), type));

    [Theory]
    [InlineData(3.9, PoeType.Type4)]
    [InlineData(90.0, PoeType.Unknown)]
    public void Too_weak_or_nonstandard_equipment_grants_no_class(double watts, PoeType type) =>
        Assert.Null(PoeTables.HighestGrantable(Power.FromWatts(watts), type));

    [Theory]
    [InlineData(15.4, PoeType.Type1)]
    [InlineData(15.5, PoeType.Type2)]
    [InlineData(25.0, PoeType.Type2)]
    [InlineData(30.0, PoeType.Type2)]
    [InlineData(30.1, PoeType.Type3)]
    [InlineData(60.0, PoeType.Type3)]
    [InlineData(60.1, PoeType.Type4)]
    public void Watts_of_an_output_tell_its_type(double watts, PoeType expected) =>
        Assert.Equal(expected, PoeTables.TypeForOutput(Power.FromWatts(watts)));

    [Theory]
    [InlineData(PoeClass.Class0, PoeType.Type1)]
    [InlineData(PoeClass.Class3, PoeType.Type1)]
    [InlineData(PoeClass.Class4, PoeType.Type2)]
    [InlineData(PoeClass.Class5, PoeType.Type3)]
    [InlineData(PoeClass.Class6, PoeType.Type3)]
    [InlineData(PoeClass.Class7, PoeType.Type4)]
    [InlineData(PoeClass.Class8, PoeType.Type4)]
    public void Class_tells_the_lowest_type_of_a_pd(PoeClass requested, PoeType expected) => Assert.Equal(expected, PoeTables.PdTypeOf(requested));

    [Fact]
    public void Classes_up_to_4_are_those_of_the_clause_that_feeds_them()
    {
        Assert.Equal(PoeTables.LimitsOf(PoeClass.Class4, PoeClause.Clause33), PoeTables.LimitsOf(PoeClass.Class4, PoeType.Type2));
        Assert.NotEqual(PoeTables.LimitsOf(PoeClass.Class4, PoeClause.Clause145), PoeTables.LimitsOf(PoeClass.Class4, PoeClause.Clause33));
    }

    // RFC 3621, pethPsePortPowerClassifications: class0(1), class1(2), class2(3), class3(4), class4(5).
    [Theory]
    [InlineData(0, null)]
    [InlineData(1, PoeClass.Class0)]
    [InlineData(4, PoeClass.Class3)]
    [InlineData(5, PoeClass.Class4)]
    [InlineData(6, null)]
    public void Class_is_read_from_the_numbers_of_rfc_3621(long number, PoeClass? expected) =>
        Assert.Equal(expected, PoeTables.ClassFromRfc3621(number));

    [Fact]
    public void Every_row_names_its_source()
    {
        var classes = Enum.GetValues<PoeClass>().Select(c => PoeTables.LimitsOf(c, PoeType.Type4).Source);
        var types = Enum.GetValues<PoeType>().Where(t => t != PoeType.Unknown).Select(t => PoeTables.LimitsOf(t)!.Value.Source);

        Assert.All(classes.Concat(types), Assert.NotEmpty);
    }
}
