using PoeWatch.Domain.Quantities;
using PoeWatch.Monitoring.Polling.DrawSources;

namespace PoeWatch.Monitoring.Tests.Polling.DrawSources;

/// <summary>pethMainPseConsumptionPower counts whole watts (RFC 3621); that some agents write milliwatts there is known from a public library's source.</summary>
public class UnitSanityTests
{
    // 6 ports that draw 61.5 W together, of a group with 370 W.
    private static readonly GroupSums s_true = new(
        Power.FromWatts(61.5), Delivering: 6, Unknown: 0, AboveCeiling: 0, Power.FromMilliwatts(1), Power.FromWatts(61), Power.FromWatts(370), Power.FromWatts(93));

    [Theory]
    [InlineData(61, nameof(UnitVerdict.Agrees))]
    [InlineData(63, nameof(UnitVerdict.Agrees))]
    [InlineData(61_500, nameof(UnitVerdict.TotalWrong))]
    [InlineData(615, nameof(UnitVerdict.TotalWrong))]
    [InlineData(93, nameof(UnitVerdict.TotalIsAllocation))]
    [InlineData(75, nameof(UnitVerdict.Differs))]
    [InlineData(6, nameof(UnitVerdict.Undecided))]
    [InlineData(0, nameof(UnitVerdict.Unchecked))]
    public void A_group_figure_in_another_unit_is_told(double total, string expected) =>
        Assert.Equal(expected, Check(s_true with { Total = Power.FromWatts(total) }).ToString());

    [Fact]
    public void Ports_a_thousand_times_too_small_draw_less_than_any_PD_may()
    {
        Assert.Equal(UnitVerdict.PortsWrong, Check(s_true with { Sum = Power.FromWatts(0.0615) }));
    }

    [Fact]
    public void Ports_ten_times_too_small_leave_it_open_which_side_is_wrong()
    {
        Assert.Equal(UnitVerdict.Undecided, Check(s_true with { Sum = Power.FromWatts(6.15) }));
    }

    [Fact]
    public void Ports_ten_times_too_large_break_their_ceilings_or_the_budget()
    {
        Assert.Equal(UnitVerdict.PortsWrong, Check(s_true with { Sum = Power.FromWatts(615), AboveCeiling = 2 }));
        Assert.Equal(UnitVerdict.PortsWrong, Check(s_true with { Sum = Power.FromWatts(615) }));
    }

    [Fact]
    public void Ports_that_break_their_ceilings_together_are_wrong_without_any_group_figure()
    {
        Assert.Equal(UnitVerdict.PortsWrong, Check(s_true with { Total = null, AboveCeiling = 4 }));
        Assert.Equal(UnitVerdict.Unchecked, Check(s_true with { Total = null, AboveCeiling = 1 }));
    }

    [Fact]
    public void A_column_of_zeros_beside_a_group_that_draws_does_not_measure()
    {
        Assert.Equal(UnitVerdict.PortsWrong, Check(s_true with { Sum = Power.Zero }));
    }

    [Fact]
    public void A_port_without_a_draw_or_a_few_watts_leave_it_unchecked()
    {
        Assert.Equal(UnitVerdict.Unchecked, Check(s_true with { Unknown = 1, Total = Power.FromWatts(615) }));
        Assert.Equal(UnitVerdict.Unchecked, Check(s_true with { Sum = Power.FromWatts(0.6), Delivering = 1, Total = Power.FromWatts(6) }));
    }

    [Fact]
    public void Ports_in_whole_watts_may_be_half_a_watt_off_each()
    {
        GroupSums coarse = s_true with { Resolution = Power.FromWatts(1), Delivering = 24, Sum = Power.FromWatts(100), Total = Power.FromWatts(112) };

        Assert.Equal(UnitVerdict.Agrees, Check(coarse));
        Assert.Equal(UnitVerdict.Differs, Check(coarse with { Resolution = Power.FromMilliwatts(1) }));
    }

    private static UnitVerdict Check(GroupSums sums) => UnitSanity.Check(sums).Verdict;
}
