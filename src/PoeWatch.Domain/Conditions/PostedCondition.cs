using System.Collections.Immutable;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Conditions;

/// <summary>What somebody said of a condition or of the air's temperature, or that they take it back. Immutable.</summary>
/// <param name="Topic">One of <see cref="ConditionNames.Topics"/>.</param>
/// <param name="At">When it was said, UTC.</param>
/// <param name="Who">Who said it.</param>
/// <param name="Holds">Whether the condition holds; null for a temperature or where it is taken back.</param>
/// <param name="Air">Temperature of the air; null for a condition or where it is taken back.</param>
/// <param name="Until">End of the time that it was said for, UTC; null where it is taken back.</param>
/// <param name="Text">What they wrote beside it; empty where nothing.</param>
public sealed record PostedCondition(
    string Topic, DateTimeOffset At, string Who, bool? Holds, Temperature? Air, DateTimeOffset? Until, string Text)
{
    /// <summary>True where what was said before on this topic no longer counts.</summary>
    public bool IsWithdrawn => Until is null;

    /// <summary>True where it counts at a moment: from when it was said up to the end that was given.</summary>
    public bool CountsAt(DateTimeOffset now) => Until is { } until && now < until;

    /// <summary>Of many words the newest on each topic; of words of the same moment the last.</summary>
    public static ImmutableDictionary<string, PostedCondition> Newest(IEnumerable<PostedCondition> words)
    {
        var newest = ImmutableDictionary.CreateBuilder<string, PostedCondition>(StringComparer.Ordinal);
        foreach (var word in words)
        {
            if (!newest.TryGetValue(word.Topic, out var known) || known.At <= word.At)
            {
                newest[word.Topic] = word;
            }
        }

        return newest.ToImmutable();
    }
}
