using System.Collections.Frozen;
using System.Collections.Immutable;
using System.Globalization;
using System.Runtime.CompilerServices;
using System.Text;
using PoeWatch.Api.Contracts;
using PoeWatch.Api.History;
using PoeWatch.Api.Web;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Evidence;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Export;

/// <summary>What an export covers.</summary>
/// <param name="Ports">Null for every port that the readings have.</param>
internal sealed record ExportScope(
    string Name, ImmutableArray<string> PseIds, FrozenSet<PsePortRef>? Ports, ImmutableArray<string> UnmeteredRunIds);

/// <summary>
/// The raw readings of a period as CSV, in pieces, so that nothing is held whole. Records: <c>reading</c> (one port in one poll),
/// <c>no-answer</c> (a poll that brought nothing), <c>gap</c> (a stretch of which nothing is known), and last <c>end</c> with the counts: a file
/// without it is not whole.
/// </summary>
internal sealed class HistoryCsv(IHistoryStore store, DesignModel design, ExportScope scope, HistoryRange range)
{
    private const int PieceCharacters = 32 * 1024;

    private readonly StringBuilder _piece = new(PieceCharacters + 1_024);
    private long _readingCount;
    private long _unansweredCount;
    private long _gapCount;

    public static readonly ImmutableArray<string> Columns =
    [
        "record", "time_utc", "until_utc", "pse_id", "group", "port", "port_ref", "run_id", "pole_ids", "state", "draw_mw", "ceiling_mw",
        "provenance", "quality", "poll_outcome", "detail",
    ];

    public async IAsyncEnumerable<string> PiecesAsync([EnumeratorCancellation] CancellationToken cancellationToken)
    {
        CsvText.AppendRecord(_piece, [.. Columns]);
        foreach (var pseId in scope.PseIds)
        {
            await foreach (var _ in RecordsAsync(pseId, cancellationToken))
            {
                if (_piece.Length >= PieceCharacters)
                {
                    yield return Taken();
                }
            }
        }

        foreach (var cableRunId in scope.UnmeteredRunIds)
        {
            AppendGap(new Gap(range.From, range.To, "unmetered"), null, cableRunId);
        }

        Append(
            "end", range.From, range.To, null, null, null, null, null, null, null, null, null,
            string.Create(CultureInfo.InvariantCulture, $"{_readingCount} readings, {_unansweredCount} polls without answer, {_gapCount} gaps"));
        yield return Taken();
    }

    /// <summary>Appends the records of one element; yields after each reading so that the caller can send what is there.</summary>
    private async IAsyncEnumerable<bool> RecordsAsync(string pseId, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        var period = SeriesReader.PollPeriodOf(design, pseId);
        var trackers = new SortedDictionary<PsePortRef, GapTracker>();
        foreach (var port in ExpectedPorts(pseId))
        {
            trackers[port] = new GapTracker(range.From, period);
        }

        await foreach (var reading in store.ReadAsync(pseId, range.From - (period * DrawSpans.GapPeriods), range.To, cancellationToken))
        {
            AppendReading(reading, trackers, period);
            yield return true;
        }

        foreach (var (port, tracker) in trackers)
        {
            if (tracker.End(range.To, range.EndsNow) is { } gap)
            {
                AppendGap(gap, port, null);
            }
        }

        yield return true;
    }

    /// <summary>Ports whose silence is a gap even where no reading ever names them.</summary>
    private IEnumerable<PsePortRef> ExpectedPorts(string pseId) =>
        (scope.Ports ?? design.CableRunByPort.Keys.ToFrozenSet()).Where(port => port.PseId == pseId);

    private void AppendReading(SwitchReading reading, SortedDictionary<PsePortRef, GapTracker> trackers, TimeSpan period)
    {
        var isInPeriod = reading.At >= range.From;
        foreach (var port in reading.Ports.Where(p => scope.Ports?.Contains(p.Port) ?? true))
        {
            trackers.TryAdd(port.Port, new GapTracker(range.From, period));
        }

        foreach (var (port, tracker) in trackers)
        {
            if (tracker.Add(DrawSample.OfPort(reading, port), SeriesReader.ReasonOf(reading)) is { } gap && isInPeriod)
            {
                AppendGap(gap, port, null);
            }
        }

        if (!isInPeriod)
        {
            return;
        }

        if (reading.Ports.IsEmpty)
        {
            _unansweredCount++;
            Append("no-answer", reading.At, null, reading.PseId, null, null, null, null, null, null, null, Names.Of(reading.Outcome), reading.Detail);
        }

        foreach (var port in reading.Ports.Where(p => trackers.ContainsKey(p.Port)))
        {
            _readingCount++;
            var milliwatts = port.DrawAtPse?.Milliwatts.ToString(CultureInfo.InvariantCulture);
            var isDraw = port.Provenance.IsDraw();
            Append(
                "reading", reading.At, null, reading.PseId, port.Port, null, Names.Of(port.State), isDraw ? milliwatts : null,
                isDraw ? null : milliwatts, port.Provenance.Name(), DrawQuality.Of(port.Provenance), Names.Of(reading.Outcome), reading.Detail);
        }
    }

    private void AppendGap(Gap gap, PsePortRef? port, string? cableRunId)
    {
        _gapCount++;
        Append("gap", gap.Start, gap.End, port?.PseId, port, cableRunId, null, null, null, Provenance.Unknown.Name(), DrawQuality.Of(Provenance.Unknown), null, gap.Reason);
    }

    private void Append(
        string record, DateTimeOffset time, DateTimeOffset? until, string? pseId, PsePortRef? port, string? cableRunId, string? state, string? drawMw,
        string? ceilingMw, string? provenance, string? quality, string? outcome, string? detail)
    {
        var cableRun = port is { } metered ? design.CableRunByPort.GetValueOrDefault(metered) : cableRunId is null ? null : design.CableRuns.GetValueOrDefault(cableRunId);
        CsvText.AppendRecord(
            _piece,
            record,
            UtcTimeConverter.Write(time),
            until is { } end ? UtcTimeConverter.Write(end) : null,
            pseId,
            port?.Group.ToString(CultureInfo.InvariantCulture),
            port?.Port.ToString(CultureInfo.InvariantCulture),
            port?.ToString(),
            cableRun?.Id,
            cableRun is null ? null : string.Join(' ', cableRun.PoleIds),
            state,
            drawMw,
            ceilingMw,
            provenance,
            quality,
            outcome,
            detail);
    }

    private string Taken()
    {
        var text = _piece.ToString();
        _piece.Clear();
        return text;
    }
}
