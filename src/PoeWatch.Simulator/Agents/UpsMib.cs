using PoeWatch.Simulator.World;
using PoeWatch.Snmp;
using Cell = (PoeWatch.Snmp.Oid Object, uint[] Index, System.Func<PoeWatch.Simulator.Agents.AgentMoment, PoeWatch.Snmp.SnmpValue> Value);

namespace PoeWatch.Simulator.Agents;

/// <summary>What the agent of a simulated UPS shows: system, its SNMP engine and UPS-MIB (RFC 1628).</summary>
internal static class UpsMib
{
    // Below so many minutes it calls its battery low: common practice, no source.
    private const int LowMinutes = 5;

    private static readonly Oid s_battery = Oid.Parse("1.3.6.1.2.1.33.1.2");
    private static readonly Oid s_output = Oid.Parse("1.3.6.1.2.1.33.1.4");
    private static readonly Oid s_outputLine = Oid.Parse("1.3.6.1.2.1.33.1.4.4.1");

    public static MibView Of(string elementId, string name, string location, ReadOnlyMemory<byte> engineId) =>
        new([.. PseMib.System(elementId, $"Simulated UPS of PoeWatch: {name}", location), .. PseMib.Engine(engineId), .. Cells()]);

    private static IEnumerable<Cell> Cells()
    {
        // batteryNormal(2), batteryLow(3); seconds on battery are zero while it is not.
        yield return Scalar(s_battery, 1, ups => SnmpValue.Integer32(ups.OnBatteryFor is not null && ups.Remaining.TotalMinutes < LowMinutes ? 3 : 2));
        yield return Scalar(s_battery, 2, ups => SnmpValue.Integer32((int)(ups.OnBatteryFor ?? TimeSpan.Zero).TotalSeconds));
        yield return Scalar(s_battery, 3, ups => SnmpValue.Integer32((int)ups.Remaining.TotalMinutes));
        yield return Scalar(s_battery, 4, ups => SnmpValue.Integer32((int)Math.Round(ups.Charge * 100)));

        // normal(3), battery(5); one output line.
        yield return Scalar(s_output, 1, ups => SnmpValue.Integer32(ups.OnBatteryFor is null ? 3 : 5));
        yield return Scalar(s_output, 3, _ => SnmpValue.Integer32(1));
        yield return (s_outputLine.Append(4), [1], moment => SnmpValue.Integer32((int)Math.Round(moment.Ups!.Output.Watts)));
    }

    private static Cell Scalar(Oid parent, uint number, Func<UpsSnapshot, SnmpValue> value) => (parent.Append(number), [0], moment => value(moment.Ups!));
}
