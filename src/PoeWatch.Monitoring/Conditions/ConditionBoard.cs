using System.Collections.Immutable;
using PoeWatch.Domain.Conditions;

namespace PoeWatch.Monitoring.Conditions;

/// <summary>The newest that is known of conditions: what people posted, what thermometers show. Readers never lock; thread safe.</summary>
public sealed class ConditionBoard
{
    private ImmutableDictionary<string, PostedCondition> _posted = ImmutableDictionary.Create<string, PostedCondition>(StringComparer.Ordinal);
    private ImmutableDictionary<string, ThermometerReading> _readings = ImmutableDictionary.Create<string, ThermometerReading>(StringComparer.Ordinal);

    /// <summary>Something changed.</summary>
    public event Action? Changed;

    /// <summary>Newest word on each topic, those whose time is over included.</summary>
    public IEnumerable<PostedCondition> Posted => Volatile.Read(ref _posted).Values;

    /// <summary>Newest reading of each thermometer, those of earlier designs included.</summary>
    public IEnumerable<ThermometerReading> Readings => Volatile.Read(ref _readings).Values;

    /// <summary>The newest word on a topic; null where nobody said anything.</summary>
    public PostedCondition? On(string topic) => Volatile.Read(ref _posted).GetValueOrDefault(topic);

    /// <summary>Takes a word; an older one than the newest known of its topic is passed over.</summary>
    public void Say(params IEnumerable<PostedCondition> words)
    {
        foreach (PostedCondition word in words)
        {
            ImmutableInterlocked.AddOrUpdate(ref _posted, word.Topic, word, (_, known) => known.At > word.At ? known : word);
        }

        Changed?.Invoke();
    }

    /// <summary>Takes a reading.</summary>
    public void Show(ThermometerReading reading)
    {
        ImmutableInterlocked.AddOrUpdate(ref _readings, reading.ThermometerId, reading, (_, known) => known.At > reading.At ? known : reading);
        Changed?.Invoke();
    }
}
