using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Monitoring.Abstractions;

/// <summary>What people posted of conditions, for good: who said what, when, until when. Implementations are thread safe.</summary>
public interface IConditionStore
{
    /// <summary>Appends a word; synced when it returns. Repeating one that is there in every word changes nothing.</summary>
    Task SavePostedAsync(PostedCondition word, CancellationToken cancellationToken);

    /// <summary>The newest word on each topic, taken back ones and those whose time is over included: what a restarted service starts from.</summary>
    Task<IReadOnlyList<PostedCondition>> ReadNewestPostedAsync(CancellationToken cancellationToken);

    /// <summary>All words said in [from, to), oldest first.</summary>
    Task<IReadOnlyList<PostedCondition>> ReadPostedAsync(DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken);
}

/// <summary>Saying what is so. Kept in the store before it counts; throws <see cref="StoreException"/> where it could not be kept.</summary>
public interface IConditionDesk
{
    /// <summary>Says that a condition holds or does not; counts until <paramref name="until"/> and is in the view when it returns.</summary>
    Task<PostedCondition> SayAsync(string topic, bool holds, DateTimeOffset until, string who, string text, CancellationToken cancellationToken);

    /// <summary>Says how warm the air is.</summary>
    Task<PostedCondition> SayAirAsync(Temperature air, DateTimeOffset until, string who, string text, CancellationToken cancellationToken);

    /// <summary>Takes back what was said on a topic; false where nothing was in force.</summary>
    Task<bool> TakeBackAsync(string topic, string who, CancellationToken cancellationToken);
}
