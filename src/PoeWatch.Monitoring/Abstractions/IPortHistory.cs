using System.Collections.Immutable;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Abstractions;

/// <summary>
/// The draw history of single ports, for series and rolled-up figures: the same readings as <see cref="IHistoryStore.ReadAsync"/>, of which only what
/// is asked for is decoded. Implementations are thread safe.
/// </summary>
public interface IPortHistory
{
    /// <summary>
    /// What the polls of one element in [from, to) say of some of its ports, in time order, streamed in pages of about an hour. Silent and refused polls
    /// are among them: they are what a gap is made of.
    /// </summary>
    /// <param name="pseId">Element whose ports they are.</param>
    /// <param name="ports">Ports of that element, in the order in which the samples come back.</param>
    IAsyncEnumerable<PortHistoryPage> ReadPortsAsync(
        string pseId, IReadOnlyList<PsePortRef> ports, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken);
}

/// <summary>Polls that follow one another and what they say of each asked port. Immutable.</summary>
/// <param name="Polls">At least one, in time order.</param>
/// <param name="Ports">One list for each asked port, each with one sample for each poll.</param>
public sealed record PortHistoryPage(ImmutableArray<PollMark> Polls, ImmutableArray<ImmutableArray<PortSample>> Ports);

/// <summary>That a poll was, and how it ended.</summary>
/// <param name="At">UTC, exact to the tick.</param>
/// <param name="Outcome">How it ended.</param>
public readonly record struct PollMark(DateTimeOffset At, PollOutcome Outcome);

/// <summary>What one poll says of one port.</summary>
/// <param name="IsThere">False where the poll says nothing of the port: the rest has no meaning then, and is never 0 W.</param>
/// <param name="DrawAtPse">Watts with the meaning that <paramref name="Provenance"/> gives, in whole milliwatts; null where unknown.</param>
/// <param name="Provenance">How the watts are known.</param>
/// <param name="State">State of the port.</param>
public readonly record struct PortSample(bool IsThere, Power? DrawAtPse, Provenance Provenance, PortState State);
