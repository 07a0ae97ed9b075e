using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Storage;

/// <summary>
/// State 0-2, provenance 3-6, class + 1 (0 for none) 7-10, kind of power 11-12, 13 set where the port follows the one before, priority 14-15 (from
/// version 2 on).
/// </summary>
internal static class PortTag
{
    private const int KindShift = 11;
    private const int FollowsBit = 1 << 13;
    private const int PriorityShift = 14;

    internal static int Of(PortReading port, bool follows) =>
        (int)port.State | (int)port.Provenance << 3 | (port.AssignedClass is { } c ? (int)c + 1 : 0) << 7
        | (int)PackedWriter.KindOf(port.DrawAtPse) << KindShift | (follows ? FollowsBit : 0) | (int)port.Priority << PriorityShift;

    /// <summary>Every tag is smaller than this.</summary>
    internal const int Ceiling = 1 << (PriorityShift + 2);

    /// <summary>Every tag without a configured priority is smaller than this.</summary>
    internal const int CeilingWithoutPriority = 1 << PriorityShift;

    internal static int Checked(int tag, int ceiling)
    {
        CheckedProvenance(tag >> 3 & 0xF);
        return (tag & 7) <= (int)PortState.OtherFault && (tag >> 7 & 0xF) <= (int)PoeClass.Class8 + 1 && tag < ceiling
            ? tag
            : throw new InvalidDataException($"tag {tag} has an unknown state or class");
    }

    internal static Provenance CheckedProvenance(int value) =>
        value is >= 0 and <= (int)Provenance.Design ? (Provenance)value : throw new InvalidDataException($"provenance {value} is unknown");

    internal static PortState State(int tag) => (PortState)(tag & 7);

    internal static Provenance ProvenanceOf(int tag) => (Provenance)(tag >> 3 & 0xF);

    internal static PoeClass? Class(int tag) => (tag >> 7 & 0xF) is var c and > 0 ? (PoeClass)(c - 1) : null;

    internal static PowerKind Power(int tag) => (PowerKind)(tag >> KindShift & 3);

    internal static int With(int tag, PowerKind kind) => tag & ~(3 << KindShift) | (int)kind << KindShift;

    internal static Criticality Priority(int tag) => (Criticality)(tag >> PriorityShift);

    internal static bool Follows(int tag) => (tag & FollowsBit) != 0;
}
