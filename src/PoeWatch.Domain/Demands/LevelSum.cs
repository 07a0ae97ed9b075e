using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Demands;

/// <summary>Adds up what a level needs and finds who pages worst for that level. Not thread safe.</summary>
internal sealed class LevelSum
{
    private readonly Dictionary<PagingChoice, Power> _more = [];
    private Power _quiet;

    /// <param name="quiet">Watts whoever pages.</param>
    /// <param name="byChoice">Watts in place of them by choice; empty where the choice changes nothing here.</param>
    public LevelSum Add(Power quiet, IEnumerable<KeyValuePair<PagingChoice, Power>> byChoice)
    {
        _quiet += quiet;
        foreach (var (choice, watts) in byChoice)
        {
            _more[choice] = _more.GetValueOrDefault(choice) + watts - quiet;
        }

        return this;
    }

    /// <summary>The worst choice for this level, nobody where none adds anything; with the watts then.</summary>
    public (Power Watts, PagingChoice Paging) Worst()
    {
        var worst = _more.OrderByDescending(m => m.Value).ThenBy(m => m.Key.Name, StringComparer.Ordinal).FirstOrDefault();
        return worst.Value > Power.Zero ? (_quiet + worst.Value, worst.Key) : (_quiet, PagingChoice.Nobody);
    }
}
