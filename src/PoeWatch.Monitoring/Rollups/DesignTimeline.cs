using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Rollups;

/// <summary>A design and the stretch of time [From, To) in which it was in force.</summary>
public readonly record struct DesignPeriod(DateTimeOffset From, DateTimeOffset To, DesignModel Design);

/// <summary>
/// Which design was in force when. The first one counts for the time before it too; a version that can no longer be read is taken for the one in force now.
/// Thread safe.
/// </summary>
public sealed class DesignTimeline(IDesignStore store, IDesignSource source, ISiteView site)
{
    private const int ModelsRemembered = 16;

    private readonly SemaphoreSlim _one = new(1, 1);
    private readonly Dictionary<string, DesignModel> _models = new(StringComparer.Ordinal);
    private IReadOnlyList<DesignVersion> _versions = [];

    /// <summary>The design in force now.</summary>
    public DesignModel Now => site.Current.Design;

    /// <summary>The designs of [from, to) in order of time, at least one.</summary>
    public async Task<IReadOnlyList<DesignPeriod>> ReadAsync(DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken)
    {
        await _one.WaitAsync(cancellationToken).ConfigureAwait(false);
        try
        {
            // A version is noted before it comes into force, so the list is whole as long as its last is the one in force.
            if (_versions.Count == 0 || _versions[^1].Hash != Now.Hash)
            {
                _versions = await store.ReadDesignsAsync(cancellationToken).ConfigureAwait(false);
            }

            var periods = new List<DesignPeriod>();
            for (var i = 0; i < _versions.Count; i++)
            {
                DateTimeOffset start = i == 0 || _versions[i].InForceFrom < from ? from : _versions[i].InForceFrom;
                DateTimeOffset end = i + 1 < _versions.Count && _versions[i + 1].InForceFrom < to ? _versions[i + 1].InForceFrom : to;
                if (start < end)
                {
                    periods.Add(new DesignPeriod(start, end, ModelOf(_versions[i])));
                }
            }

            return periods.Count > 0 ? periods : [new DesignPeriod(from, to, Now)];
        }
        finally
        {
            _one.Release();
        }
    }

    private DesignModel ModelOf(DesignVersion version)
    {
        if (version.Hash == Now.Hash)
        {
            return Now;
        }

        if (!_models.TryGetValue(version.Hash, out DesignModel? model))
        {
            if (_models.Count >= ModelsRemembered)
            {
                _models.Clear();
            }

            model = source.Parse(version.Text, version.Hash).Model ?? Now;
            _models.Add(version.Hash, model);
        }

        return model;
    }
}

/// <summary>What a design says of sums. Pure.</summary>
public static class DesignSums
{
    /// <summary>Elements that are fed by mains: those that a pass-through switch feeds again are in the draw of its input already.</summary>
    public static IEnumerable<string> OfSite(DesignModel design) => design.Agents.Keys.Where(id => !design.PassThroughSwitches.ContainsKey(id));

    /// <summary>Ports that the design has on an element.</summary>
    public static IEnumerable<PsePortRef> OfElement(DesignModel design, string pseId) =>
        design.Switches.TryGetValue(pseId, out PseSwitch? pse) ? pse.Ports.Keys : design.CableRunByPort.Keys.Where(p => p.PseId == pseId);

    /// <summary>Ports whose draws are a pole's; null where nobody measures one of its runs, so that the sum is unknown.</summary>
    public static IReadOnlyList<PsePortRef>? OfPole(DesignModel design, string poleId)
    {
        var cableRuns = design.CableRunsByPole.GetValueOrDefault(poleId, []);
        return cableRuns.Any(r => r.IsUnmetered) ? null : [.. cableRuns.Select(r => r.Source.Port).OfType<PsePortRef>().Distinct().Order()];
    }

    public static TimeSpan PollPeriod(IReadOnlyList<DesignPeriod> designs, string pseId)
    {
        TimeSpan longest = TimeSpan.Zero;
        foreach (DesignPeriod period in designs)
        {
            if (period.Design.Agents.TryGetValue(pseId, out SnmpAgent? agent) && agent.PollPeriod > longest)
            {
                longest = agent.PollPeriod;
            }
        }

        // An element that no design of the time has was polled some time or other: the default of a design.
        return longest > TimeSpan.Zero ? longest : TimeSpan.FromSeconds(60);
    }
}
