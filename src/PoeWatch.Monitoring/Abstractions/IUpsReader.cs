using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Abstractions;

/// <summary>Asks the agent of one UPS. Expected failures come back as a reading without figures, never as exceptions.</summary>
public interface IUpsReader
{
    /// <param name="agent">Its agent.</param>
    /// <param name="goodFor">How long the reading says anything.</param>
    Task<UpsReading> ReadAsync(string upsId, SnmpAgent agent, TimeSpan goodFor, CancellationToken cancellationToken);
}
