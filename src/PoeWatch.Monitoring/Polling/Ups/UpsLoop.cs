using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Supplies;

namespace PoeWatch.Monitoring.Polling.Ups;

/// <summary>Asks every UPS of the design in force that has an agent, each at its own period, a bounded number at once. Thread safe.</summary>
public sealed partial class UpsLoop(ISiteView site, IUpsReader reader, UpsBoard board, TimeProvider time, ILogger<UpsLoop> log) : BackgroundService
{
    /// <summary>A reading older than this many periods says nothing any more.</summary>
    public const int AgePeriodsMax = 3;

    private const int AtOnce = 16;

    // How soon a new design is followed.
    private static readonly TimeSpan s_beat = TimeSpan.FromSeconds(1);

    private readonly long _start = time.GetTimestamp();

    // Only the loop itself touches it: what is asked side by side is awaited before the next round.
    private readonly Dictionary<string, (SnmpAgent Agent, TimeSpan Due)> _due = new(StringComparer.Ordinal);

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        while (!stoppingToken.IsCancellationRequested)
        {
            try
            {
                await ReadDueAsync(site.Current.Design, stoppingToken).ConfigureAwait(false);
            }
            catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
            {
                // Stopping.
            }
            catch (Exception bug)
            {
                LogFailed(bug);
            }

            await Task.Delay(s_beat, time, stoppingToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    internal Task ReadDueAsync(DesignModel design, CancellationToken stoppingToken)
    {
        TimeSpan now = time.GetElapsedTime(_start);
        var due = new List<(string Id, SnmpAgent Agent)>();
        foreach (var (id, ups) in design.UpsUnits)
        {
            // An agent that a new design puts in place of another is asked at once.
            if (ups.Agent is { } agent && (!_due.TryGetValue(id, out var known) || known.Agent != agent || now >= known.Due))
            {
                due.Add((id, agent));
                _due[id] = (agent, now + agent.PollPeriod);
            }
        }

        return Parallel.ForEachAsync(
            due,
            new ParallelOptions { MaxDegreeOfParallelism = AtOnce, CancellationToken = stoppingToken },
            async (one, stop) =>
            {
                UpsReading reading = await reader.ReadAsync(one.Id, one.Agent, one.Agent.PollPeriod * AgePeriodsMax, stop).ConfigureAwait(false);
                stop.ThrowIfCancellationRequested();
                UpsReading? before = board.Of(one.Id);
                Tell(reading, before);

                // One question without an answer between two with one leaves the last one standing until it is too old.
                board.Show(reading.Told is null && before?.ToldAt(reading.At) is not null ? before with { Problem = reading.Problem } : reading);
            });
    }

    // One line for each change, none for each reading.
    private void Tell(UpsReading reading, UpsReading? before)
    {
        if (reading.Problem.Length > 0 && (before is null || before.Problem.Length == 0))
        {
            LogSilent(reading.UpsId, reading.Problem);
        }
        else if (reading.Problem.Length == 0 && before?.Problem.Length > 0)
        {
            LogAnswers(reading.UpsId);
        }

        if (reading.Told?.IsOnBattery is { } isOn && isOn != (before?.Told?.IsOnBattery ?? false))
        {
            LogSource(reading.UpsId, isOn ? "on battery" : "off the battery again");
        }
    }

    [LoggerMessage(1030, LogLevel.Warning, "The UPS {Ups} says nothing: {Problem}")]
    private partial void LogSilent(string ups, string problem);

    [LoggerMessage(1031, LogLevel.Information, "The UPS {Ups} answers again.")]
    private partial void LogAnswers(string ups);

    [LoggerMessage(1032, LogLevel.Information, "The UPS {Ups} is {State}.")]
    private partial void LogSource(string ups, string state);

    [LoggerMessage(1033, LogLevel.Error, "Asking UPS units ended in a fault of the service itself; it goes on.")]
    private partial void LogFailed(Exception bug);
}
