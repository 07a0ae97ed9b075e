using System.Collections.Frozen;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Alarms;

/// <summary>What is known of one alarm type whatever it is raised for: a row of the alarm inventory of RFC 8632.</summary>
/// <param name="Name">One of <see cref="AlarmTypes"/>.</param>
/// <param name="Resource">What it is raised for: <c>run</c>, <c>port</c>, <c>group</c>, <c>switch</c> …; several joined with a comma.</param>
/// <param name="Meaning">What it means, in a sentence.</param>
/// <param name="Causes">Likely causes, the likeliest first: common practice, no source.</param>
public sealed record AlarmTypeInfo(string Name, string Resource, string Meaning, params IReadOnlyList<string> Causes)
{
    /// <summary>What it has otherwise than the general timings; null where nothing.</summary>
    public TypeTimings? Timings { get; init; }
}

/// <summary>Every alarm type with its meaning and likely causes. Immutable.</summary>
public static partial class AlarmTypeTable
{
    private static readonly FrozenDictionary<string, AlarmTypeInfo> s_byName = Rows().ToFrozenDictionary(row => row.Name, StringComparer.Ordinal);

    /// <summary>All types in order of name.</summary>
    public static IReadOnlyList<AlarmTypeInfo> All { get; } = [.. s_byName.Values.OrderBy(row => row.Name, StringComparer.Ordinal)];

    public static AlarmTypeInfo? Find(string name) => s_byName.GetValueOrDefault(name);

    // Delays that differ from the general ones are common practice, without a source.
    private static TypeTimings Delays(double onSeconds, double offSeconds) =>
        new(TimeSpan.FromSeconds(onSeconds), TimeSpan.FromSeconds(offSeconds), null, null);

    private static TypeTimings Deadband(TypeTimings delays, double band) => delays with { DeadbandShare = Ratio.FromPercent(0), DeadbandWatts = band };
}
