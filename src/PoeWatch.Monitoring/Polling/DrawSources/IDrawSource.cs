using System.Collections.Immutable;
using PoeWatch.Domain.Readings;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>One way to know watts per port: which columns it needs, when it may be believed, and what their values are worth. Pure.</summary>
internal interface IDrawSource
{
    /// <summary>For people and logs, such as <c>sheet hp-icf-poe</c>.</summary>
    string Name { get; }

    /// <summary>The best provenance that it can give: what the order of sources goes by.</summary>
    Provenance Best { get; }

    /// <summary>Without a value in this column the agent does not have the source.</summary>
    Oid Marker { get; }

    /// <summary>Columns of each poll.</summary>
    ImmutableArray<Oid> Fast { get; }

    /// <summary>Columns that change with the equipment only and are read now and then.</summary>
    ImmutableArray<Oid> Slow { get; }

    /// <summary>Why it may be believed on this agent, or why not.</summary>
    SourceGate Gate(AgentOffer offer);

    /// <summary>Puts what it knows of each port.</summary>
    void Read(DrawFrame frame, DrawSlots into);

    /// <summary>Forgets what it keeps between polls: the agent began a new life, and rates do not cross it.</summary>
    void Forget()
    {
    }
}

/// <summary>Whether a source passed, and the reason in words.</summary>
internal readonly record struct SourceGate(bool Passes, string Reason)
{
    public static SourceGate Pass(string reason) => new(true, reason);

    public static SourceGate Refuse(string reason) => new(false, reason);
}

/// <summary>What an agent is and has, as far as a gate needs to know. Immutable.</summary>
/// <param name="ObjectId">sysObjectID in dotted numbers, or empty.</param>
/// <param name="Description">sysDescr, or empty.</param>
internal sealed record AgentOffer(string ObjectId, string Description, SlowAnswers Slow);

/// <summary>The answers of one poll with what is kept from before.</summary>
/// <param name="SlowAge">How long ago the slow columns were read.</param>
/// <param name="UpTime">sysUpTime of this poll, or null.</param>
internal sealed record DrawFrame(PortIndexes Ports, FastAnswers Fast, AgentOffer Offer, TimeSpan SlowAge, TimeSpan? UpTime)
{
    public SlowAnswers Slow => Offer.Slow;
}
