using PoeWatch.Domain.Design;
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
    /// <param name="before">The port's reading of the poll before, which stands where nothing but its priority may differ.</param>
    public static PortReading Port(
        PsePortRef port, PortState state, PoeClass? assigned, PortDraw known, string source, PoeType designedType, PortReading? before = null)
    {
        PoeClass? granted = state == PortState.Delivering ? assigned : null;
        var isDraw = known.Provenance.IsDraw();
        if (known.IsKnown && (state is PortState.Delivering or PortState.Unknown || (isDraw && known.Watts > Power.Zero)))
        {
            // A port that is said not to deliver and yet draws is contradictory; the measurement is the one that can hurt.
            return Reading(before, port, state, known.Watts, known.Provenance, granted, known.Resolution, known.Age, source);
        }

        return state switch
        {
            PortState.Unknown => Reading(before, port, PortState.Unknown, null, Provenance.Unknown, null, null, null, string.Empty),
            PortState.Delivering => ByClass(port, granted, designedType, before),
            _ => Reading(before, port, state, Power.Zero, Provenance.Off, null, null, TimeSpan.Zero, "state of the port"),
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

    private static PortReading ByClass(PsePortRef port, PoeClass? assigned, PoeType designedType, PortReading? before) =>
        ClassCeiling(assigned, designedType) is { } ceiling
            ? Reading(before, port, PortState.Delivering, ceiling, Provenance.ClassBound, assigned, null, TimeSpan.Zero, "class of the port")
            : Reading(before, port, PortState.Delivering, null, Provenance.Unknown, assigned, null, null, string.Empty);

    private static PortReading Reading(
        PortReading? before, PsePortRef port, PortState state, Power? watts, Provenance provenance, PoeClass? assigned, Power? resolution, TimeSpan? age, string source) =>
        before is not null && before.Port == port && before.State == state && before.DrawAtPse == watts && before.Provenance == provenance
            && before.AssignedClass == assigned && before.Resolution == resolution && before.Age == age && before.Source == source
            ? before
            : new PortReading(port, state, watts, provenance, assigned) { Resolution = resolution, Age = age, Source = source, Priority = before?.Priority ?? Criticality.Unknown };
}
