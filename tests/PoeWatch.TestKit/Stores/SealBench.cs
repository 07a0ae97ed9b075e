using System.Collections.Frozen;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Options;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Ingestion;
using PoeWatch.Monitoring.Sealing;
using PoeWatch.Monitoring.Service;

namespace PoeWatch.TestKit.Stores;

/// <summary>One life of what seals, over stores that outlive it: make another over the same stores for a restart.</summary>
public sealed class SealBench : IDisposable
{
    private readonly StoreGate _gate;

    public SealBench(MemoryStore store, MemorySeals seals, TimeProvider time, DesignModel design, IEvidenceSigner signer, params IRootPublisher[] publishers)
        : this(store, seals, seals, time, design, signer, publishers)
    {
    }

    public SealBench(
        IHistoryStore store, ISealStore seals, ILateMarkStore marks, TimeProvider time, DesignModel design, IEvidenceSigner signer, params IRootPublisher[] publishers)
    {
        var nothing = new NetworkSnapshot(time.GetUtcNow(), FrozenDictionary<string, SwitchReading>.Empty, FrozenDictionary<string, SwitchReading>.Empty);
        View = new SiteViewHolder(new SiteView(0, design, nothing, SiteAssessor.Assess(DesignAnalysis.Of(design), nothing), [], 0));
        var watch = new LateWatch();
        History = new SealedHistory(store, seals, marks, watch);
        _gate = new StoreGate(store, time, NullLogger<StoreGate>.Instance);
        Keeper = new SealKeeper(
            History, seals, marks, watch, View, signer, publishers, _gate, Options.Create(new EvidenceOptions()), time, NullLogger<SealKeeper>.Instance);
    }

    public SiteViewHolder View { get; }

    /// <summary>The history as the service writes it.</summary>
    public SealedHistory History { get; }

    public SealKeeper Keeper { get; }

    public void Dispose()
    {
        Keeper.Dispose();
        _gate.Dispose();
    }
}
