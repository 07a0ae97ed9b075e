namespace PoeWatch.Monitoring.Polling;

/// <summary>
/// Which agents are silent, and which of them only because what stands between them and the service is silent: those are asked rarely, and at once
/// when the way is open again. Pure; not thread safe.
/// </summary>
public sealed class UplinkWatch
{
    private readonly Dictionary<string, string> _upstream = new(StringComparer.Ordinal);
    private readonly HashSet<string> _silent = new(StringComparer.Ordinal);
    private ILookup<string, string> _behind = Enumerable.Empty<string>().ToLookup(id => id);

    /// <summary>Silent agents whose upstream agent is silent too.</summary>
    public int CutOff => _silent.Count(IsCutOff);

    /// <summary>Takes what a design says: for each polled element the polled one that it is reached over, or null.</summary>
    public void Follow(IEnumerable<KeyValuePair<string, string?>> upstream)
    {
        _upstream.Clear();
        var polled = new HashSet<string>(StringComparer.Ordinal);
        foreach (var (id, up) in upstream)
        {
            polled.Add(id);
            if (up is not null)
            {
                _upstream[id] = up;
            }
        }

        _silent.IntersectWith(polled);
        _behind = _upstream.ToLookup(u => u.Value, u => u.Key, StringComparer.Ordinal);
    }

    /// <summary>True for a silent agent behind a silent one.</summary>
    public bool IsCutOff(string pseId) => _silent.Contains(pseId) && IsUpstreamSilent(pseId);

    /// <summary>Notes how a poll ended. An agent that answers after a silence opens the way for those behind it, and shows that the one before it is there.</summary>
    /// <returns>Silent agents that are worth asking at once.</returns>
    public IReadOnlyList<string> Note(string pseId, bool isSilent)
    {
        if (isSilent)
        {
            _silent.Add(pseId);
            return [];
        }

        if (!_silent.Remove(pseId))
        {
            return [];
        }

        List<string> awake = [.. _behind[pseId].Where(_silent.Contains)];
        if (IsUpstreamSilent(pseId))
        {
            awake.Add(_upstream[pseId]);
        }

        return awake;
    }

    private bool IsUpstreamSilent(string pseId) => _upstream.TryGetValue(pseId, out var up) && _silent.Contains(up);
}
