using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Quantities;
using PoeWatch.Snmp;
using Cell = (PoeWatch.Snmp.Oid Object, uint[] Index, System.Func<PoeWatch.Simulator.Agents.AgentMoment, PoeWatch.Snmp.SnmpValue> Value);

namespace PoeWatch.Simulator.Agents;

/// <summary>The temperatures that a simulated agent shows as its design names them: RFC 6933 and RFC 3433.</summary>
internal static class ThermometerMib
{
    // A closed cabinet with a switch in it: common practice, no source.
    private const double CabinetAboveAirCelsius = 12;
    private const uint FirstIndex = 1001;

    private static readonly Oid s_physical = Oid.Parse("1.3.6.1.2.1.47.1.1.1.1");
    private static readonly Oid s_shown = Oid.Parse("1.3.6.1.2.1.99.1.1.1");

    /// <param name="thermometers">Those of the agent.</param>
    /// <param name="air">Air over the site now.</param>
    /// <param name="cabinet">What a script says of the cabinets; null: the air decides.</param>
    public static IEnumerable<Cell> Cells(IEnumerable<Thermometer> thermometers, Func<Temperature> air, Func<Temperature?> cabinet)
    {
        var next = FirstIndex;
        foreach (var thermometer in thermometers)
        {
            Func<double> celsius = thermometer.Cabinet is null
                ? () => air().Celsius
                : () => cabinet()?.Celsius ?? (air().Celsius + CabinetAboveAirCelsius);
            var index = (uint?)thermometer.PhysicalIndex ?? next;
            next = Math.Max(next, index) + 1;

            // sensor(8) of entPhysicalClass; celsius(8), units(9), one decimal, ok(1), read on demand.
            yield return Row(s_physical, 5, index, SnmpValue.Integer32(8));
            yield return Row(s_physical, 7, index, SnmpValue.Text(thermometer.PhysicalName ?? thermometer.Id));
            yield return Row(s_shown, 1, index, SnmpValue.Integer32(8));
            yield return Row(s_shown, 2, index, SnmpValue.Integer32(9));
            yield return Row(s_shown, 3, index, SnmpValue.Integer32(1));
            yield return (s_shown.Append(4), [index], _ => SnmpValue.Integer32((int)Math.Round(celsius() * 10)));
            yield return Row(s_shown, 5, index, SnmpValue.Integer32(1));
            yield return Row(s_shown, 6, index, SnmpValue.Text("degrees Celsius"));
            yield return Row(s_shown, 8, index, SnmpValue.Gauge32(0));
        }
    }

    private static Cell Row(Oid entry, uint column, uint row, SnmpValue value) => (entry.Append(column), [row], _ => value);
}
