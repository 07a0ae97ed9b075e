using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Readings.Changes;

namespace PoeWatch.Domain.Alarms.Memory;

/// <summary>A step of the machine's clock.</summary>
/// <param name="Step">How far; negative where it went back.</param>
/// <param name="Running">When, by the running clock.</param>
/// <param name="At">Where it was stepped to, UTC.</param>
public sealed record ClockStep(TimeSpan Step, TimeSpan Running, DateTimeOffset At);

/// <summary>What the rules remember of a site beyond its newest readings, bounded by the number of its ports. For one thread.</summary>
public sealed class SiteMemory
{
    private readonly Dictionary<string, Dictionary<PsePortRef, PortMemory>> _byPse = new(StringComparer.Ordinal);
    private readonly Dictionary<string, DateTimeOffset> _lastAt = new(StringComparer.Ordinal);

    /// <summary>The newest moment, by the running clock.</summary>
    public TimeSpan Running { get; private set; }

    /// <summary>The last step of the machine's clock; null where none was seen.</summary>
    public ClockStep? ClockStep { get; private set; }

    /// <summary>Null where nothing is remembered of the port.</summary>
    public PortMemory? Find(PsePortRef port) => _byPse.GetValueOrDefault(port.PseId)?.GetValueOrDefault(port);

    public void NoteClockStep(TimeSpan step, AlarmMoment now) => ClockStep = new ClockStep(step, now.Running, now.At);

    /// <summary>Takes what is new in a snapshot; each reading counts once.</summary>
    public void Note(DesignModel design, NetworkSnapshot snapshot, SiteAssessment site, AlarmMoment now)
    {
        Running = now.Running;
        foreach (var gone in _byPse.Keys.Where(id => !design.Agents.ContainsKey(id)).ToList())
        {
            _byPse.Remove(gone);
            _lastAt.Remove(gone);
        }

        foreach (var (pseId, reading) in snapshot.Latest)
        {
            if (design.Agents.TryGetValue(pseId, out var agent) && (!_lastAt.TryGetValue(pseId, out var at) || at != reading.At))
            {
                _lastAt[pseId] = reading.At;
                Note(reading, site, agent.PollPeriod * AssessmentScope.AgePeriodsMax);
            }
        }
    }

    /// <summary>Takes what was read out of the history of the time before this memory began.</summary>
    public void Adopt(IReadOnlyDictionary<PsePortRef, PortMemory> older)
    {
        foreach (var (port, memory) in older)
        {
            Of(port).Adopt(memory);
        }
    }

    private void Note(SwitchReading reading, SiteAssessment site, TimeSpan holdsFor)
    {
        if (reading.Changes.Any(c => c.Kind is AgentChangeKind.Restarted or AgentChangeKind.Replaced or AgentChangeKind.Renumbered))
        {
            foreach (var memory in _byPse.GetValueOrDefault(reading.PseId)?.Values ?? Enumerable.Empty<PortMemory>())
            {
                memory.NoteRestart();
            }
        }

        if (reading.Outcome is not (PollOutcome.Answered or PollOutcome.Partial))
        {
            foreach (var memory in _byPse.GetValueOrDefault(reading.PseId)?.Values ?? Enumerable.Empty<PortMemory>())
            {
                memory.NoteDraw(reading.At, null, double.NaN, holdsFor);
            }

            return;
        }

        foreach (var events in reading.PortEvents)
        {
            Of(events.Port).Note(events, Running);
        }

        foreach (var port in reading.Ports)
        {
            var known = site.Ports.GetValueOrDefault(port.Port);
            var memory = Of(port.Port);
            memory.NoteState(port.State == PortState.Unknown ? null : port.State == PortState.Delivering, Running);
            memory.NoteDraw(
                reading.At, known is not null && known.Draw.Provenance.IsDraw() ? known.Draw.Watts?.Watts : null, known?.DesignDemand?.Watts ?? double.NaN, holdsFor,
                isOff: port.State is not (PortState.Unknown or PortState.Delivering));
        }
    }

    private PortMemory Of(PsePortRef port)
    {
        if (!_byPse.TryGetValue(port.PseId, out var ports))
        {
            _byPse[port.PseId] = ports = [];
        }

        if (!ports.TryGetValue(port, out var memory))
        {
            ports[port] = memory = new PortMemory();
        }

        return memory;
    }
}
