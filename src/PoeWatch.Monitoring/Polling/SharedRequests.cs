using System.Collections.Concurrent;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling;

/// <summary>
/// Walks that are asked of many agents, each kept once: most switches of a site are asked for the same columns, and a request made ready takes more room
/// than what is remembered of an agent. Thread safe.
/// </summary>
internal sealed class SharedRequests
{
    // Far more than a site has kinds of switches. Beyond it sharing begins anew: it saves memory, and nothing depends on it.
    private const int Max = 500;

    private readonly ConcurrentDictionary<string, WalkRequest> _requests = new(StringComparer.Ordinal);

    /// <summary>The request for these columns and instances.</summary>
    public WalkRequest Of(IReadOnlyList<Oid> columns, params IReadOnlyList<Oid> instances)
    {
        var key = $"{string.Join(' ', columns)}/{string.Join(' ', instances)}";
        if (_requests.Count >= Max)
        {
            _requests.Clear();
        }

        return _requests.GetOrAdd(key, static (_, asked) => new WalkRequest(asked.columns, asked.instances), (columns, instances));
    }
}
