using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Polling.Interfaces;

namespace PoeWatch.Monitoring.Tests.Polling.Interfaces;

public class IntentCheckTests
{
    private static readonly PsePortRef s_quay = new("quay", 1, 1);
    private static readonly PsePortRef s_pier = new("pier", 1, 4);

    // The design: camera-1 behind quay:1, camera-2 behind pier:4, quay:1 in VLAN 30.
    private static readonly PortIntents s_intents = new(
        new Dictionary<PsePortRef, ImmutableArray<string>> { [s_quay] = ["camera-1"], [s_pier] = ["camera-2"] }.ToFrozenDictionary(),
        new Dictionary<string, PsePortRef> { ["camera-1"] = s_quay, ["camera-2"] = s_pier }.ToFrozenDictionary(StringComparer.OrdinalIgnoreCase),
        new Dictionary<PsePortRef, int> { [s_quay] = 30 }.ToFrozenDictionary());

    [Theory]
    [InlineData("camera-1")]
    [InlineData("Camera-1")]
    [InlineData("camera-1.harbour.example")]
    public void The_device_of_the_design_is_no_finding(string name) => Assert.Empty(Check(Seen(30, name)));

    [Fact]
    public void Another_device_is_wrong_and_the_text_names_both()
    {
        ReadingFinding finding = Assert.Single(Check(Seen(30, "printer")));

        Assert.Equal((FindingKind.WrongDevice, s_quay), (finding.Kind, finding.Port));
        Assert.Contains("'printer'", finding.Text, StringComparison.Ordinal);
        Assert.Contains("'camera-1'", finding.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_device_of_another_port_has_moved_and_is_not_called_wrong_as_well()
    {
        ReadingFinding finding = Assert.Single(Check(Seen(30, "camera-2.harbour.example")));

        Assert.Equal(FindingKind.MovedDevice, finding.Kind);
        Assert.Contains("the design has it behind pier:1/4", finding.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Another_VLAN_is_wrong()
    {
        Assert.Equal(FindingKind.WrongVlan, Assert.Single(Check(Seen(1, "camera-1"))).Kind);
    }

    [Fact]
    public void What_nobody_says_is_not_wrong()
    {
        Assert.Empty(Check(Seen(null)));
        Assert.Empty(Check(Seen(null, "")));
        Assert.Empty(IntentCheck.Check(Seen(7, "printer"), PortIntents.None));
        Assert.Empty(Check(Seen(30, "switch-of-the-pole", "camera-1")));
    }

    private static ImmutableArray<ReadingFinding> Check(Dictionary<PsePortRef, PortInterface> seen) => IntentCheck.Check(seen, s_intents);

    private static Dictionary<PsePortRef, PortInterface> Seen(int? vlan, params string[] names) => new()
    {
        [s_quay] = new PortInterface(101, "port1", "", "test", true, 1000, vlan, [.. names.Select(name => new Neighbour(name, "00:1b:21:aa:bb:cc", "eth0"))]),
    };
}
