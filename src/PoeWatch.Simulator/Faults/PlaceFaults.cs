using System.Collections.Immutable;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Simulator.Faults;

/// <summary>The fault counters of RFC 3621's port table.</summary>
public enum PortCount
{
    Unknown = 0,

    /// <summary>pethPsePortMPSAbsentCounter.</summary>
    MpsAbsent = 1,

    /// <summary>pethPsePortInvalidSignatureCounter.</summary>
    InvalidSignature = 2,

    /// <summary>pethPsePortPowerDeniedCounter.</summary>
    Denied = 3,

    /// <summary>pethPsePortOverLoadCounter.</summary>
    Overload = 4,

    /// <summary>pethPsePortShortCounter.</summary>
    Short = 5,
}

/// <summary>What hangs in the place of a designed device.</summary>
/// <param name="Name">System name that it tells over LLDP; null where it tells none.</param>
internal sealed record Occupant(string TypeId, string? Name);

/// <summary>Ohms that a segment's loop has gained, and gains every day.</summary>
internal readonly record struct Joint(Resistance Gained, Resistance PerDay, TimeSpan Since)
{
    public Resistance At(TimeSpan now) => Gained + (PerDay * (now - Since).TotalDays);
}

/// <summary>Something that comes round once a period.</summary>
internal readonly record struct Beat(TimeSpan Period, TimeSpan Since)
{
    /// <summary>Whole periods since it began.</summary>
    public long RoundsAt(TimeSpan now) => (now - Since).Ticks / Period.Ticks;

    public bool IsFirstHalfAt(TimeSpan now) => 2 * ((now - Since).Ticks % Period.Ticks) < Period.Ticks;
}

internal readonly record struct Rise(double PerHour, TimeSpan Since)
{
    public uint At(TimeSpan now) => (uint)Math.Min(uint.MaxValue, PerHour * (now - Since).TotalHours);
}

/// <param name="Times">How often they were set: tells one setting from the next.</param>
internal readonly record struct CounterSetting(uint Value, int Times);

/// <summary>What is out of the ordinary at one PSE port beside what <see cref="FaultState"/> has by name. Immutable.</summary>
internal sealed record PortFault
{
    public static PortFault None { get; } = new();

    public Beat? Flaps { get; init; }

    public ImmutableDictionary<PortCount, Rise> Counting { get; init; } = ImmutableDictionary<PortCount, Rise>.Empty;

    public bool IgnoresPlan { get; init; }

    public int? Vlan { get; init; }
}

/// <summary>What is out of the ordinary with one agent and its meters. Immutable.</summary>
internal sealed record AgentFault
{
    public static AgentFault None { get; } = new();

    public TimeSpan DateShift { get; init; }

    public TimeSpan UpTimeShift { get; init; }

    public TimeSpan ClockSetAt { get; init; } = TimeSpan.MinValue;

    public CounterSetting CountersAt { get; init; }

    public double MeterErrorPercent { get; init; }

    public int? MeterStepMilliwatts { get; init; }

    public Beat? Repeats { get; init; }

    public double LostPercent { get; init; }

    public TimeSpan Delay { get; init; }

    public double WattsFactor { get; init; } = 1;

    public bool RefusesCredentials { get; init; }

    /// <summary>Watts as its meters show them.</summary>
    public long Metered(Power flowing, int builtStepMilliwatts)
    {
        var step = MeterStepMilliwatts ?? builtStepMilliwatts;
        return (long)Math.Round(flowing.Watts * 1000 * (1 + (MeterErrorPercent / 100)) / step, MidpointRounding.AwayFromZero) * step;
    }
}
