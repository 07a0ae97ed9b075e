using System.Globalization;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling;

/// <summary>Turns what an agent says of one port into watts with their provenance. Pure.</summary>
public static class DrawDecoder
{
    /// <summary>
    /// More than any port gives: IEEE 802.3-2022 ends at 99.9 W a port (Table 145-16), so twice that is no draw but a wrong unit or column.
    /// </summary>
    private const double MilliwattsMax = 200_000;

    /// <summary>One port.</summary>
    /// <param name="rawState">pethPsePortDetectionStatus; null where not answered.</param>
    /// <param name="rawClass">pethPsePortPowerClassifications; null where not answered.</param>
    /// <param name="draw">Measured watts from the draw column; null where the agent has none for this port.</param>
    /// <param name="designedType">Type of the port by design; unknown where the design does not have it.</param>
    public static PortReading Port(PsePortRef port, long? rawState, long? rawClass, Power? draw, PoeType designedType)
    {
        PortState state = State(rawState);
        PoeClass? assigned = state == PortState.Delivering ? AssignedClass(rawClass) : null;
        if (draw is { } measured && (state is PortState.Delivering or PortState.Unknown || measured > Power.Zero))
        {
            // A port that is said not to deliver and yet draws is contradictory; the measurement is the one that can hurt.
            return new PortReading(port, state, measured, Provenance.Measured, assigned);
        }

        return state switch
        {
            PortState.Unknown => PortReading.Nothing(port),
            PortState.Delivering => ByClass(port, assigned, designedType),
            _ => new PortReading(port, state, Power.Zero, Provenance.Off, null),
        };
    }

    /// <summary>Watts in a draw column; null where the value is no number of watts (absent, negative, beyond any port, text that is none).</summary>
    public static Power? Column(SnmpValue value, DrawUnit unit)
    {
        double? number = value.TryGetInt64(out var whole)
            ? whole
            : value.TryGetText(out var text) && double.TryParse(
                text.AsSpan().Trim("\0 \t\r\n"), NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var read)
                ? read
                : null;
        double milliwatts = (number ?? -1) * unit switch
        {
            DrawUnit.Milliwatt => 1,
            DrawUnit.Deciwatt => 100,
            DrawUnit.Watt => 1000,
            _ => double.NaN,
        };
        return milliwatts is >= 0 and <= MilliwattsMax ? Power.FromMilliwatts(milliwatts) : null;
    }

    /// <summary>RFC 3621 names 1 to 6; anything else is not a state.</summary>
    public static PortState State(long? raw) => raw is >= 1 and <= 6 ? (PortState)raw.Value : PortState.Unknown;

    /// <summary>RFC 3621 counts class0(1) to class4(5); some agents go on with 6 to 9 for classes 5 to 8, outside of the MIB.</summary>
    public static PoeClass? AssignedClass(long? raw) => raw is >= 1 and <= 9 ? (PoeClass)(raw.Value - 1) : null;

    private static PortReading ByClass(PsePortRef port, PoeClass? assigned, PoeType designedType)
    {
        // RFC 3621 ends at class 4: on a type 3 or 4 port class4(5) may hide classes 5 to 8, so 30 W would be no ceiling at all.
        var hidesMore = assigned == PoeClass.Class4 && designedType is not (PoeType.Type1 or PoeType.Type2);
        return assigned is { } known && !hidesMore
            ? new PortReading(port, PortState.Delivering, PoeTables.ClassBoundAtPse(known), Provenance.ClassBound, assigned)
            : new PortReading(port, PortState.Delivering, null, Provenance.Unknown, assigned);
    }
}
