using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Budgets;

/// <summary>What one port asks of its group's budget. Immutable and thread safe; <c>default</c> asks nothing for port 0.</summary>
/// <param name="Port">Port number within the group.</param>
/// <param name="Criticality">Who goes first when power gets short; an unknown one counts as low.</param>
/// <param name="Reserve">Watts at the PSE, set aside if it is fed: by class, by limit or by draw, as the group's policy says; 0 or more.</param>
public readonly record struct PowerRequest(int Port, Criticality Criticality, Power Reserve);

/// <summary>
/// Who of a PSE group is fed when not all can be. Critical before high before low, within a level the lowest port number first; a
/// port that does not fit is passed over. Pure and thread safe.
/// </summary>
/// <remarks>
/// Priority levels and their use: RFC 3621 pethPsePortPowerPriority. That the lowest port number wins within a level: HPE ArubaOS-Switch
/// management guide 16.10, "PoE priority". Seen the other way round this sheds the lowest priority and, within it, the highest
/// port number first: see <see cref="LoadShedding"/>.
/// </remarks>
public static class PowerSharing
{
    /// <summary>Port numbers that are fed.</summary>
    /// <param name="usable">Watts for all of them together: the budget less its guard band. Negative feeds nobody that asks for more than nothing.</param>
    public static HashSet<int> Fed(Power usable, IEnumerable<PowerRequest> requests) =>
        [.. Fitting(usable, InOrder(requests)).Select(request => request.Port)];

    /// <summary>First who is fed first.</summary>
    internal static IOrderedEnumerable<PowerRequest> InOrder(IEnumerable<PowerRequest> requests) =>
        requests.OrderBy(request => Rank(request.Criticality)).ThenBy(request => request.Port);

    /// <summary>Those that fit, each asked in turn.</summary>
    internal static IEnumerable<PowerRequest> Fitting(Power usable, IEnumerable<PowerRequest> inOrder)
    {
        var left = usable;
        foreach (var request in inOrder)
        {
            if (request.Reserve <= left)
            {
                left -= request.Reserve;
                yield return request;
            }
        }
    }

    /// <summary>1 is fed first.</summary>
    internal static int Rank(Criticality criticality) => criticality switch
    {
        Criticality.Critical => 1,
        Criticality.High => 2,
        _ => 3,
    };
}
