using System.Collections.Immutable;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Supplies;

/// <summary>The newest that UPS units said of themselves. Readers never lock; thread safe.</summary>
public sealed class UpsBoard
{
    private ImmutableDictionary<string, UpsReading> _readings = ImmutableDictionary.Create<string, UpsReading>(StringComparer.Ordinal);

    /// <summary>Something changed.</summary>
    public event Action? Changed;

    /// <summary>Newest reading of each UPS, those of earlier designs included.</summary>
    public IEnumerable<UpsReading> Readings => Volatile.Read(ref _readings).Values;

    /// <summary>The newest reading of one UPS; null where it was not asked yet.</summary>
    public UpsReading? Of(string upsId) => Volatile.Read(ref _readings).GetValueOrDefault(upsId);

    /// <summary>Takes a reading.</summary>
    public void Show(UpsReading reading)
    {
        ImmutableInterlocked.AddOrUpdate(ref _readings, reading.UpsId, reading, (_, _) => reading);
        Changed?.Invoke();
    }
}
