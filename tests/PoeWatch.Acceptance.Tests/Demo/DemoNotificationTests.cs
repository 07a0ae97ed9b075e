using System.Globalization;
using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.Demo;

/// <summary>The demo listens for notifications where the settings say so, as the service does. The trap is Net-SNMP's (Debian package snmp).</summary>
public sealed class DemoNotificationTests
{
    [Fact]
    public async Task A_trap_by_hand_is_taken_where_the_settings_name_an_address()
    {
        using var folder = new WorkFolder();
        var port = FreePort.Udp();
        await using var demo = await Service.ServingAsync(
            ["demo", "--calm", "--port", "0", "--data", folder.At("data")],
            new Dictionary<string, string?>
            {
                ["POEWATCH_notifications__address"] = "127.0.0.1", ["POEWATCH_notifications__port"] = port.ToString(CultureInfo.InvariantCulture),
            });

        var newest = string.Empty;
        await Eventually.HoldsAsync(
            "a trap that is believed",
            async () =>
            {
                // pethPsePortOnOffNotification with pethPsePortDetectionStatus.1.1 (RFC 3621). Before the first design is followed nobody is a known sender.
                await using var sender = OutsideProgram.Start(
                    OutsideProgram.Find("snmptrap", "snmp"),
                    [
                        "-v2c", "-c", "skerry-haven", string.Create(CultureInfo.InvariantCulture, $"127.0.0.1:{port}"), "4711", ".1.3.6.1.2.1.105.0.1",
                        ".1.3.6.1.2.1.105.1.1.1.6.1.1", "i", "3",
                    ],
                    new Dictionary<string, string?> { ["MIBS"] = "", ["MIBDIRS"] = "", ["SNMPCONFPATH"] = folder.At("none"), ["SNMP_PERSISTENT_DIR"] = folder.At("sender") },
                    folder.Path);
                Assert.Equal(0, await sender.ExitAsync());
                (_, newest) = await demo.Rest.SendAsync(HttpMethod.Get, "/metrics");
                return newest.Split('\n').Any(line => line.StartsWith("poewatch_notification_accepted", StringComparison.Ordinal) && line.Contains("\"port-on-off\"", StringComparison.Ordinal));
            },
            () => $"{newest}{Environment.NewLine}{demo.Output}");
    }
}
