using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.TestKit.Design;

/// <summary>Writes a <see cref="NetworkSnapshot"/> in code: what each agent said last. Not thread safe.</summary>
public sealed class SnapshotBuilder(DateTimeOffset at)
{
    private readonly Dictionary<string, SwitchReading> _latest = [];
    private readonly Dictionary<string, SwitchReading> _latestAnswer = [];

    /// <summary>A port that delivers measured watts, or watts of another provenance.</summary>
    public static PortReading Delivering(
        string port, double watts, Provenance provenance = Provenance.Measured, PoeClass? assigned = null) =>
        new(Ref(port), PortState.Delivering, Power.FromWatts(watts), provenance, assigned);

    /// <summary>A port that delivers nothing, in the state given.</summary>
    public static PortReading Off(string port, PortState state = PortState.Searching) =>
        new(Ref(port), state, Power.Zero, Provenance.Off, null);

    /// <summary>The agent answered, <paramref name="age"/> before the snapshot.</summary>
    public SnapshotBuilder Answered(string pseId, TimeSpan age, params PortReading[] ports) => Answered(pseId, age, [], ports);

    /// <summary>The agent answered with groups too.</summary>
    public SnapshotBuilder Answered(string pseId, TimeSpan age, ImmutableArray<GroupReading> groups, params PortReading[] ports)
    {
        var reading = Reading(pseId, age, PollOutcome.Answered, "", [.. ports], groups);
        _latest[pseId] = reading;
        _latestAnswer[pseId] = reading;
        return this;
    }

    /// <summary>The last poll brought nothing; an earlier answer stays in <see cref="NetworkSnapshot.LatestAnswer"/>.</summary>
    public SnapshotBuilder NotAnswered(string pseId, PollOutcome outcome = PollOutcome.Silent, TimeSpan age = default, string detail = "")
    {
        _latest[pseId] = Reading(pseId, age, outcome, detail, [], []);
        return this;
    }

    public NetworkSnapshot Build() => new(at, _latest.ToFrozenDictionary(), _latestAnswer.ToFrozenDictionary());

    private static PsePortRef Ref(string port) =>
        PsePortRef.TryParse(port, out var parsed) ? parsed : throw new ArgumentException($"'{port}' is not 'id:group/port'.", nameof(port));

    private SwitchReading Reading(
        string pseId, TimeSpan age, PollOutcome outcome, string detail, ImmutableArray<PortReading> ports, ImmutableArray<GroupReading> groups) =>
        new(pseId, _latest.Count + 1, at - age, outcome, detail, TimeSpan.FromDays(1), ports, groups);
}
