using System.Collections.Immutable;
using System.Runtime.CompilerServices;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.TestKit.Stores;

/// <summary>The same readings, port by port.</summary>
public sealed partial class MemoryStore : IPortHistory
{
    private const int PollsOfPage = 60;

    public async IAsyncEnumerable<PortHistoryPage> ReadPortsAsync(
        string pseId, IReadOnlyList<PsePortRef> ports, DateTimeOffset from, DateTimeOffset to, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        await Task.Yield();
        var polls = Locked(() => _readings.Where(r => r.PseId == pseId && r.At >= from && r.At < to).OrderBy(r => r.At).ToArray());
        foreach (SwitchReading[] page in polls.Chunk(PollsOfPage))
        {
            yield return new PortHistoryPage(
                [.. page.Select(poll => new PollMark(poll.At, poll.Outcome))],
                [.. ports.Select(port => page.Select(poll => Sample(poll, port)).ToImmutableArray())]);
        }
    }

    // The history keeps whole milliwatts.
    private static PortSample Sample(SwitchReading poll, PsePortRef port) => poll.Ports.FirstOrDefault(p => p.Port == port) is { } found
        ? new PortSample(true, found.DrawAtPse is { } watts ? Power.FromMilliwatts(watts.Milliwatts) : null, found.Provenance, found.State)
        : default;
}
