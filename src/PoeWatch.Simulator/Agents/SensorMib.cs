using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Quantities;
using PoeWatch.Simulator.World;
using PoeWatch.Snmp;
using Cell = (PoeWatch.Snmp.Oid Object, uint[] Index, System.Func<PoeWatch.Simulator.Agents.AgentMoment, PoeWatch.Snmp.SnmpValue> Value);

namespace PoeWatch.Simulator.Agents;

/// <summary>What a simulated agent shows by RFC 6933 (what there is) and RFC 3433 (what it reads): thermometers, and the input of a pass-through switch.</summary>
internal static class SensorMib
{
    /// <summary>Rows of the volts and watts at the uplink of a pass-through switch: far behind those that a design may name.</summary>
    public const uint InputVoltsIndex = 90_001;
    public const uint InputWattsIndex = 90_002;

    // A closed cabinet with a switch in it: common practice, no source.
    private const double CabinetAboveAirCelsius = 12;
    private const uint FirstIndex = 1001;

    // EntitySensorDataType, EntitySensorDataScale.
    private const int VoltsDc = 4;
    private const int Watts = 6;
    private const int Celsius = 8;
    private const int Milli = 8;
    private const int Units = 9;

    private static readonly Oid s_physical = Oid.Parse("1.3.6.1.2.1.47.1.1.1.1");
    private static readonly Oid s_shown = Oid.Parse("1.3.6.1.2.1.99.1.1.1");

    /// <param name="thermometers">Those of the agent.</param>
    /// <param name="air">Air over the site now.</param>
    /// <param name="cabinet">What a script says of the cabinets; null: the air decides.</param>
    public static IEnumerable<Cell> Thermometers(IEnumerable<Thermometer> thermometers, Func<Temperature> air, Func<Temperature?> cabinet)
    {
        var next = FirstIndex;
        foreach (var thermometer in thermometers)
        {
            Func<double> celsius = thermometer.Cabinet is null
                ? () => air().Celsius
                : () => cabinet()?.Celsius ?? (air().Celsius + CabinetAboveAirCelsius);
            var index = (uint?)thermometer.PhysicalIndex ?? next;
            next = Math.Max(next, index) + 1;
            foreach (var cell in Row(index, thermometer.PhysicalName ?? thermometer.Id, Celsius, Units, 1, "degrees Celsius", _ => celsius() * 10))
            {
                yield return cell;
            }
        }
    }

    /// <summary>Hundredths of a volt and milliwatts at the uplink of a pass-through switch, behind the cable.</summary>
    public static IEnumerable<Cell> Input(PseShape shape) => !shape.HasUplinkPower ? [] :
    [
        .. Row(InputVoltsIndex, "Uplink input volts", VoltsDc, Units, 2, "volts", moment => (moment.Pse.Input?.Voltage.Volts ?? 0) * 100),
        .. Row(InputWattsIndex, "Uplink input watts", Watts, Milli, 0, "milliwatts", moment => moment.Pse.Input?.MeteredMilliwatts ?? 0),
    ];

    private static IEnumerable<Cell> Row(uint index, string name, int type, int scale, int decimals, string unit, Func<AgentMoment, double> read)
    {
        // sensor(8) of entPhysicalClass; ok(1), read on demand.
        yield return Fixed(s_physical, 5, index, SnmpValue.Integer32(8));
        yield return Fixed(s_physical, 7, index, SnmpValue.Text(name));
        yield return Fixed(s_shown, 1, index, SnmpValue.Integer32(type));
        yield return Fixed(s_shown, 2, index, SnmpValue.Integer32(scale));
        yield return Fixed(s_shown, 3, index, SnmpValue.Integer32(decimals));
        yield return (s_shown.Append(4), [index], moment => SnmpValue.Integer32((int)Math.Round(read(moment))));
        yield return Fixed(s_shown, 5, index, SnmpValue.Integer32(1));
        yield return Fixed(s_shown, 6, index, SnmpValue.Text(unit));
        yield return Fixed(s_shown, 8, index, SnmpValue.Gauge32(0));
    }

    private static Cell Fixed(Oid entry, uint column, uint row, SnmpValue value) => (entry.Append(column), [row], _ => value);
}
