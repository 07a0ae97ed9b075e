using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Simulator.World;

/// <summary>What one port asks of its group's budget.</summary>
/// <param name="Port">Port number within the group.</param>
/// <param name="Criticality">Who goes first when power gets short; an unknown one counts as low.</param>
/// <param name="Reserve">Watts set aside if it is fed: by class, by limit or by draw, as the group's policy says.</param>
internal readonly record struct PowerRequest(int Port, Criticality Criticality, Power Reserve);

/// <summary>
/// Who of a PSE group is fed when not all can be. Critical before high before low, within a level the lowest port number first; a
/// port that does not fit is passed over. Pure.
/// </summary>
/// <remarks>
/// Priority levels and their use: RFC 3621 pethPsePortPowerPriority. That the lowest port number wins within a level: HPE ArubaOS-Switch
/// management guide 16.10, "PoE priority". Seen the other way round this sheds the lowest priority and, within it, the highest
/// port number first.
/// </remarks>
internal static class PowerSharing
{
    /// <summary>Port numbers that are fed.</summary>
    public static HashSet<int> Fed(Power usable, IEnumerable<PowerRequest> requests)
    {
        var fed = new HashSet<int>();
        var left = usable;
        foreach (var request in requests.OrderBy(r => Rank(r.Criticality)).ThenBy(r => r.Port))
        {
            if (request.Reserve <= left)
            {
                fed.Add(request.Port);
                left -= request.Reserve;
            }
        }

        return fed;
    }

    private static int Rank(Criticality criticality) => criticality switch
    {
        Criticality.Critical => 1,
        Criticality.High => 2,
        _ => 3,
    };
}
