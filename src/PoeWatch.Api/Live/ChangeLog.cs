using System.Collections.Frozen;
using System.Collections.Immutable;
using System.Globalization;
using PoeWatch.Api.Contracts;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Live;

/// <summary>What a stream has to tell a client that has seen an older picture.</summary>
/// <param name="IsResync">True where the older picture is not known here any more: the client reads the lists again.</param>
internal sealed record Changes(bool IsResync, ImmutableArray<PoleContract> Poles, ImmutableArray<AlarmContract> Alarms, ImmutableArray<string> GoneAlarmIds);

/// <summary>
/// Which poles and alarms changed between pictures, for the last few hundred pictures. All streams share it and hold nothing of their own, so a
/// slow client costs no memory: it is told the sum of what it missed, or to read the lists again. Thread safe.
/// </summary>
internal sealed class ChangeLog(TimeProvider time)
{
    private const int EntriesMax = 256;

    private readonly Lock _gate = new();
    private readonly Queue<Entry> _entries = new();
    private Picture? _newest;

    /// <summary>What a client at <paramref name="seenVersion"/> has to be told to be at the given view. Views may come in any order.</summary>
    public Changes Since(long seenVersion, SiteView view)
    {
        lock (_gate)
        {
            Advance(view);
            var newest = _newest!;
            var oldestKnown = _entries.TryPeek(out var oldest) ? oldest.FromVersion : newest.Version;
            if (seenVersion < oldestKnown || seenVersion > newest.Version)
            {
                return new Changes(true, [], [], []);
            }

            var missed = _entries.Where(e => e.ToVersion > seenVersion).ToList();
            var alarmIds = missed.SelectMany(e => e.AlarmIds).ToHashSet(StringComparer.Ordinal);
            return missed.Any(e => e.IsNewDesign)
                ? new Changes(true, [], [], [])
                : new Changes(
                    false,
                    [.. missed.SelectMany(e => e.PoleIds).Distinct(StringComparer.Ordinal).Order(StringComparer.Ordinal).Select(id => newest.Poles[id])],
                    [.. alarmIds.Order(StringComparer.Ordinal).Where(newest.Alarms.ContainsKey).Select(id => newest.Alarms[id])],
                    [.. alarmIds.Order(StringComparer.Ordinal).Where(id => !newest.Alarms.ContainsKey(id))]);
        }
    }

    /// <summary>Version of the newest picture that the log has seen.</summary>
    public long NewestVersion
    {
        get
        {
            lock (_gate)
            {
                return _newest?.Version ?? 0;
            }
        }
    }

    private void Advance(SiteView view)
    {
        if (_newest is not null && view.Version <= _newest.Version)
        {
            return;
        }

        var next = Picture.Of(view, time.GetUtcNow());
        if (_newest is { } before)
        {
            _entries.Enqueue(Entry.Between(before, next));
            while (_entries.Count > EntriesMax)
            {
                _entries.Dequeue();
            }
        }

        _newest = next;
    }

    private sealed record Picture(
        long Version, string DesignHash, FrozenDictionary<string, PoleContract> Poles, FrozenDictionary<string, AlarmContract> Alarms)
    {
        public static Picture Of(SiteView view, DateTimeOffset now) => new(
            view.Version,
            view.Design.Hash,
            view.Design.Poles.Values.Select(p => PoleContract.From(view, p)).ToFrozenDictionary(p => p.Id, StringComparer.Ordinal),
            view.Alarms.Select(a => AlarmContract.From(a, view.Design, now)).ToFrozenDictionary(a => a.Id, StringComparer.Ordinal));
    }

    private sealed record Entry(
        long FromVersion, long ToVersion, bool IsNewDesign, ImmutableArray<string> PoleIds, ImmutableArray<string> AlarmIds)
    {
        public static Entry Between(Picture before, Picture after) => new(
            before.Version,
            after.Version,
            before.DesignHash != after.DesignHash,
            [.. after.Poles.Where(p => !p.Value.Equals(before.Poles.GetValueOrDefault(p.Key))).Select(p => p.Key)],
            [
                .. after.Alarms.Where(a => !a.Value.Equals(before.Alarms.GetValueOrDefault(a.Key))).Select(a => a.Key),
                .. before.Alarms.Keys.Where(id => !after.Alarms.ContainsKey(id)),
            ]);
    }
}

/// <summary>Id of one event of the stream: the picture's version, marked with the process that counted it, since a restart counts anew.</summary>
internal readonly record struct LiveEventId(long ProcessMark, long Version)
{
    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{ProcessMark:x}-{Version}");

    public static bool TryParse(string? text, out LiveEventId id)
    {
        id = default;
        var dash = text?.IndexOf('-', StringComparison.Ordinal) ?? -1;
        if (text is null || dash <= 0
            || !long.TryParse(text.AsSpan(0, dash), NumberStyles.HexNumber, CultureInfo.InvariantCulture, out var mark)
            || !long.TryParse(text.AsSpan(dash + 1), NumberStyles.None, CultureInfo.InvariantCulture, out var version))
        {
            return false;
        }

        id = new LiveEventId(mark, version);
        return true;
    }
}
