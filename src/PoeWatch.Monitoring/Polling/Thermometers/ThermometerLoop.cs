using System.Collections.Concurrent;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Options;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Conditions;

namespace PoeWatch.Monitoring.Polling.Thermometers;

/// <summary>Asks for every temperature that the design in force names, at a slow beat of its own, a bounded number at once. Thread safe.</summary>
public sealed partial class ThermometerLoop(
    ISiteView site, IThermometerReader reader, ConditionBoard board, IOptions<PollingOptions> options, TimeProvider time, ILogger<ThermometerLoop> log)
    : BackgroundService
{
    /// <summary>A reading older than this many periods says nothing any more.</summary>
    public const int AgePeriodsMax = 3;

    private const int AtOnce = 16;

    private readonly ConcurrentDictionary<string, bool> _shows = new(StringComparer.Ordinal);

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        while (!stoppingToken.IsCancellationRequested)
        {
            try
            {
                await ReadAllAsync(site.Current.Design, stoppingToken).ConfigureAwait(false);
                await Task.Delay(options.Value.ThermometerPeriod, time, stoppingToken).ConfigureAwait(false);
            }
            catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
            {
                // Stopping.
            }
            catch (Exception bug)
            {
                LogFailed(bug);
                await Task.Delay(options.Value.ThermometerPeriod, time, stoppingToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            }
        }
    }

    internal Task ReadAllAsync(DesignModel design, CancellationToken stoppingToken) => Parallel.ForEachAsync(
        design.Conditions.Thermometers.Where(t => design.Agents.ContainsKey(t.PseId)),
        new ParallelOptions { MaxDegreeOfParallelism = AtOnce, CancellationToken = stoppingToken },
        async (thermometer, stop) =>
        {
            ThermometerReading reading = await reader.ReadAsync(
                thermometer, design.Agents[thermometer.PseId], options.Value.ThermometerPeriod * AgePeriodsMax, stop).ConfigureAwait(false);
            stop.ThrowIfCancellationRequested();
            Tell(reading);

            // One failed reading between two good ones leaves the last good one standing until it is too old.
            ThermometerReading? before = board.Readings.FirstOrDefault(r => r.ThermometerId == reading.ThermometerId);
            board.Show(reading.Shown is null && before?.ShownAt(reading.At) is { } last ? before with { Problem = reading.Problem } : reading);
        });

    // One line for each change, none for each reading. That it shows something from the start is no change.
    private void Tell(ThermometerReading reading)
    {
        var shows = reading.Shown is not null;
        var before = _shows.GetValueOrDefault(reading.ThermometerId, true);
        _shows[reading.ThermometerId] = shows;
        if (before && !shows)
        {
            LogShowsNoMore(reading.ThermometerId, reading.Problem);
        }
        else if (!before && shows)
        {
            LogShowsAgain(reading.ThermometerId);
        }
    }

    [LoggerMessage(1010, LogLevel.Warning, "The thermometer {Thermometer} shows nothing: {Problem}")]
    private partial void LogShowsNoMore(string thermometer, string problem);

    [LoggerMessage(1011, LogLevel.Information, "The thermometer {Thermometer} shows a temperature again.")]
    private partial void LogShowsAgain(string thermometer);

    [LoggerMessage(1012, LogLevel.Error, "Reading thermometers ended in a fault of the service itself; it goes on with the next period.")]
    private partial void LogFailed(Exception bug);
}
