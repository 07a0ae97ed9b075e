using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Evidence.Exports;

/// <summary>A design with its time in force. The model is null where this software cannot read the text any more. Immutable.</summary>
/// <param name="Until">UTC; null where it is in force now.</param>
internal sealed record DesignSpan(DesignVersion Version, DateTimeOffset? Until, DesignModel? Model);

/// <summary>Which design was in force when, over a period. Immutable.</summary>
internal sealed class DesignTimeline
{
    private static readonly TimeSpan PeriodDefault = TimeSpan.FromSeconds(60);

    private DesignTimeline(ImmutableArray<DesignSpan> spans) => Spans = spans;

    /// <summary>Designs in force in the period, the oldest first.</summary>
    public ImmutableArray<DesignSpan> Spans { get; }

    public IEnumerable<DesignModel> Models => Spans.Select(s => s.Model).OfType<DesignModel>();

    public static async Task<DesignTimeline> ReadAsync(
        IDesignStore store, IDesignSource source, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken)
    {
        var versions = await store.ReadDesignsAsync(cancellationToken).ConfigureAwait(false);
        var spans = ImmutableArray.CreateBuilder<DesignSpan>();
        for (var i = 0; i < versions.Count; i++)
        {
            DateTimeOffset? until = i + 1 < versions.Count ? versions[i + 1].InForceFrom : null;
            if (versions[i].InForceFrom < to && (until is null || until > from))
            {
                spans.Add(new DesignSpan(versions[i], until, source.Parse(versions[i].Text, versions[i].Hash).Model));
            }
        }

        return new DesignTimeline(spans.ToImmutable());
    }

    /// <summary>The design in force at a moment; null before the first.</summary>
    public DesignModel? At(DateTimeOffset time) => Spans.LastOrDefault(s => s.Version.InForceFrom <= time)?.Model;

    /// <summary>A period in pieces that are no longer than a length and have one design each.</summary>
    public IEnumerable<(DateTimeOffset Start, DateTimeOffset End)> Pieces(DateTimeOffset from, DateTimeOffset to, TimeSpan length)
    {
        for (var start = from; start < to;)
        {
            var end = start + length < to ? start + length : to;
            var change = Spans.Select(s => s.Version.InForceFrom).Where(c => c > start && c < end).Cast<DateTimeOffset?>().Min();
            yield return (start, change ?? end);
            start = change ?? end;
        }
    }

    /// <summary>How often an element was polled then; the default of a design where that is not known.</summary>
    public TimeSpan PollPeriodOf(string pseId, DateTimeOffset time) =>
        At(time) is { } design && design.Agents.TryGetValue(pseId, out var agent) ? agent.PollPeriod : PeriodDefault;

    public CableRun? CableRunOf(PsePortRef port, DateTimeOffset time) => At(time)?.CableRunByPort.GetValueOrDefault(port);
}
