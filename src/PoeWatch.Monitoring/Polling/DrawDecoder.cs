using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Polling.DrawSources;

namespace PoeWatch.Monitoring.Polling;

/// <summary>Turns what an agent says of one port into a reading with its provenance. Pure.</summary>
internal static class DrawDecoder
{
    /// <summary>One port.</summary>
    /// <param name="assigned">Class while it delivers; null where not answered.</param>
    /// <param name="known">The best that a source said of its watts; default where none did.</param>
    /// <param name="source">Name of that source.</param>
    /// <param name="designedType">Type of the port by design; unknown where the design does not have it.</param>
    public static PortReading Port(
        PsePortRef port, PortState state, PoeClass? assigned, PortDraw known, string source, PoeType designedType)
    {
        PoeClass? granted = state == PortState.Delivering ? assigned : null;
        var isDraw = known.Provenance.IsDraw();
        if (known.IsKnown && (state is PortState.Delivering or PortState.Unknown || (isDraw && known.Watts > Power.Zero)))
        {
            // A port that is said not to deliver and yet draws is contradictory; the measurement is the one that can hurt.
            return new PortReading(port, state, known.Watts, known.Provenance, granted) { Resolution = known.Resolution, Age = known.Age, Source = source };
        }

        return state switch
        {
            PortState.Unknown => PortReading.Nothing(port),
            PortState.Delivering => ByClass(port, granted, designedType),
            _ => new PortReading(port, state, Power.Zero, Provenance.Off, null) { Age = TimeSpan.Zero, Source = "state of the port" },
        };
    }

    /// <summary>RFC 3621 names 1 to 6; anything else is not a state.</summary>
    public static PortState State(long? raw) => raw is >= 1 and <= 6 ? (PortState)raw.Value : PortState.Unknown;

    /// <summary>RFC 3621 counts class0(1) to class4(5); some agents go on with 6 to 9 for classes 5 to 8, outside of the MIB.</summary>
    public static PoeClass? AssignedClass(long? raw) => raw is >= 1 and <= 9 ? (PoeClass)(raw.Value - 1) : null;

    /// <summary>The most that a delivering port may draw by its class; null where the class does not say.</summary>
    public static Power? ClassCeiling(PoeClass? assigned, PoeType designedType)
    {
        // RFC 3621 ends at class 4: on a type 3 or 4 port class4(5) may hide classes 5 to 8, so 30 W would be no ceiling at all.
        var hidesMore = assigned == PoeClass.Class4 && designedType is not (PoeType.Type1 or PoeType.Type2);
        return assigned is { } known && !hidesMore ? PoeTables.ClassBoundAtPse(known) : null;
    }

    private static PortReading ByClass(PsePortRef port, PoeClass? assigned, PoeType designedType) => ClassCeiling(assigned, designedType) is { } ceiling
        ? new PortReading(port, PortState.Delivering, ceiling, Provenance.ClassBound, assigned) { Age = TimeSpan.Zero, Source = "class of the port" }
        : new PortReading(port, PortState.Delivering, null, Provenance.Unknown, assigned);
}
