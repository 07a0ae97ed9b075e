using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Tests.Budgets;

/// <summary>
/// Who is fed when power is short, against what makers of switches document. Sources: HPE ArubaOS-Switch management guide 16.10,
/// "PoE priority" (lowest port number first within a level); Juniper, "priority" and "guard-band" statements of PoE; Cumulus Networks
/// documentation, power over Ethernet (one supply of 920 W gives 750 W for PoE, two give 1650 W). 30 W for class 4: Ethernet
/// Alliance, overview of IEEE 802.3bt (2018), class table.
/// </summary>
public sealed class PowerSharingTests
{
    private static readonly Power s_class4 = Power.FromWatts(30);

    [Fact]
    public void A_budget_of_100_W_feeds_three_of_four_class_4_ports_the_lowest_numbers_first() =>
        Assert.Equal([1, 2, 3], Fed(100, Ports(1, 4, Criticality.Low)));

    [Fact]
    public void A_critical_port_is_fed_before_lower_numbers_of_low_priority() =>
        Assert.Equal([1, 2, 4], Fed(100, [.. Ports(1, 3, Criticality.Low), .. Ports(4, 4, Criticality.Critical)]));

    [Fact]
    public void A_guard_band_of_15_W_leaves_power_for_two_of_them() =>
        Assert.Equal([1, 2], Fed(100 - 15, Ports(1, 4, Criticality.Low)));

    [Fact]
    public void The_loss_of_a_supply_that_still_covers_the_allocation_sheds_nobody() =>
        Assert.Equal(
            Enumerable.Range(1, 24), Fed(750, [.. Ports(1, 12, Criticality.Critical), .. Ports(13, 24, Criticality.Low)]));

    [Fact]
    public void The_loss_of_a_supply_sheds_the_lowest_priority_and_the_highest_port_first()
    {
        PowerRequest[] ports = [.. Ports(1, 20, Criticality.Critical), .. Ports(21, 40, Criticality.Low)];
        Assert.Equal(Enumerable.Range(1, 40), Fed(1650, ports));
        Assert.Equal(Enumerable.Range(1, 25), Fed(750, ports));
    }

    [Fact]
    public void An_unknown_priority_counts_as_low_and_high_goes_before_it() =>
        Assert.Equal([2], Fed(30, [.. Ports(1, 1, Criticality.Unknown), .. Ports(2, 2, Criticality.High)]));

    [Fact]
    public void A_port_that_does_not_fit_lets_a_smaller_one_pass() =>
        Assert.Equal([1, 3], Fed(50, [.. Ports(1, 2, Criticality.Low), new PowerRequest(3, Criticality.Low, Power.FromWatts(15.4))]));

    private static IEnumerable<PowerRequest> Ports(int first, int last, Criticality criticality) =>
        Enumerable.Range(first, last - first + 1).Select(port => new PowerRequest(port, criticality, s_class4));

    private static IEnumerable<int> Fed(double usableWatts, IEnumerable<PowerRequest> requests) =>
        PowerSharing.Fed(Power.FromWatts(usableWatts), requests).Order();
}
