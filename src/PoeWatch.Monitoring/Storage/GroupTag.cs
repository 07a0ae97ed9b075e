using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Storage;

/// <summary>Provenance 0-3, supply 4-5 (0 not said, 1 off, 2 on), kinds of budget 6-7 and of draw 8-9.</summary>
internal static class GroupTag
{
    internal static int Of(GroupReading group, PowerKind budget, PowerKind draw) =>
        (int)group.Provenance | (group.IsOn switch { null => 0, false => 1, true => 2 }) << 4 | (int)budget << 6 | (int)draw << 8;

    internal static PowerKind Budget(int tag) => (PowerKind)(tag >> 6 & 3);

    internal static PowerKind Draw(int tag) => (PowerKind)(tag >> 8 & 3);

    internal static bool? IsOn(int tag) => (tag >> 4 & 3) switch
    {
        0 => null,
        1 => false,
        2 => true,
        _ => throw new InvalidDataException("group state 3 is unknown"),
    };
}
