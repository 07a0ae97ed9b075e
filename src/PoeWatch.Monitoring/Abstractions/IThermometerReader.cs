using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design;

namespace PoeWatch.Monitoring.Abstractions;

/// <summary>Asks one agent for one temperature. Expected failures come back as a reading without one, never as exceptions.</summary>
public interface IThermometerReader
{
    /// <param name="agent">The agent that shows it.</param>
    /// <param name="goodFor">How long the reading says anything.</param>
    Task<ThermometerReading> ReadAsync(Thermometer thermometer, SnmpAgent agent, TimeSpan goodFor, CancellationToken cancellationToken);
}
