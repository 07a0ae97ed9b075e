namespace PoeWatch.Simulator.Faults;

/// <summary>
/// The clock of an agent is set: its date jumps, and with it its up time, as with agents that reckon up time from their date. The clock of whoever
/// asks is no matter of a script.
/// </summary>
public sealed record AgentClockSteps(string ElementId, TimeSpan Step) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at)
    {
        // A restart in between began the up time anew by the stepped clock.
        var restarted = before.Restarts.TryGetValue(ElementId, out var restart) ? restart.At : TimeSpan.MinValue;
        return before.With(ElementId, agent => agent with
        {
            DateShift = agent.DateShift + Step,
            UpTimeShift = (restarted > agent.ClockSetAt ? TimeSpan.Zero : agent.UpTimeShift) + Step,
            ClockSetAt = at,
        });
    }
}

/// <summary>All fault counters of an agent's ports take this value and go on from there, past 4294967295 to 0.</summary>
public sealed record AgentCountersAt(string ElementId, uint Value) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) =>
        before.With(ElementId, agent => agent with { CountersAt = new CounterSetting(Value, agent.CountersAt.Times + 1) });
}

/// <summary>The watt meters of an agent show so much more than flows; 0 % is right.</summary>
public sealed record AgentMeterErrs(string ElementId, double Percent) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before.With(ElementId, agent => agent with { MeterErrorPercent = Percent });
}

/// <summary>The watt meters of an agent show whole steps of so many milliwatts; null: as the world is built.</summary>
public sealed record AgentMeterSteps(string ElementId, int? Milliwatts) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before.With(ElementId, agent => agent with { MeterStepMilliwatts = Milliwatts });
}

/// <summary>An agent looks at its meters only once a period and repeats the watts in between; null: at every look of its PSE.</summary>
public sealed record AgentRepeatsWatts(string ElementId, TimeSpan? For) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) =>
        before.With(ElementId, agent => agent with { Repeats = For is { } period ? new Beat(period, at) : null });
}

/// <summary>This share of an agent's answers is lost on the way; 0 % is none.</summary>
public sealed record AgentLosesAnswers(string ElementId, double Percent) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before.With(ElementId, agent => agent with { LostPercent = Percent });
}

/// <summary>An agent takes its time for each answer; zero: it answers at once.</summary>
public sealed record AgentAnswersAfter(string ElementId, TimeSpan Delay) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before.With(ElementId, agent => agent with { Delay = Delay });
}

/// <summary>An agent tells its ports' watts by a factor too large (after new firmware, say in another unit), its group's sum as ever; 1 is right.</summary>
public sealed record AgentWattsTimes(string ElementId, double Factor) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before.With(ElementId, agent => agent with { WattsFactor = Factor });
}

/// <summary>Somebody changed community or user of an agent: it refuses what the settings have, or takes it again.</summary>
public sealed record AgentRefuses(string ElementId, bool IsRefusing) : SimulatedEvent
{
    internal override FaultState ApplyTo(FaultState before, TimeSpan at) => before.With(ElementId, agent => agent with { RefusesCredentials = IsRefusing });
}
