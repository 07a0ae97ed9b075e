using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.Alarms;
using PoeWatch.Simulator.World;

namespace PoeWatch.Monitoring.Tests.Year;

/// <summary>What came of a run.</summary>
internal sealed record YearResult(YearScript Script, YearScore Score, long Answers, long Steps, TimeSpan Took);

/// <summary>Plays a script from the first minute to the last: the harbour lives, its agents answer, the service polls, keeps, assesses and alarms.</summary>
internal static class YearRun
{
    // Readings are written in batches, every so many beats: what a batch is does not matter to an alarm.
    private const int BeatsABatch = 30;

    // Every ten days it says how far it is.
    private const int BeatsATale = 14_400;

    public static readonly DateTimeOffset Start = new(2026, 3, 1, 0, 0, 0, TimeSpan.Zero);

    public static YearScript Script(int seed, int days, int faults) =>
        YearScript.Make(seed, days, faults, YearHarbour.Written, new SimulatedWorld(YearHarbour.Written, seed, new FakeTimeProvider(Start)));

    public static async Task<YearResult> PlayAsync(YearScript script, Action<string> tell)
    {
        var began = TimeProvider.System.GetTimestamp();
        var time = new YearTime(Start);
        DirectoryInfo folder = Directory.CreateTempSubdirectory("poewatch-year-");
        await using YearHarbour harbour = await YearHarbour.StartAsync(script.Seed, script.Read(YearHarbour.Written), time);
        YearService service = await YearService.StartAsync(harbour, time, folder.FullName);
        try
        {
            var clockSteps = new Queue<YearFault>(script.Faults.Where(fault => fault.ClockStep != TimeSpan.Zero));
            var restarts = new Queue<TimeSpan>(script.ServiceRestarts);
            var steps = 0L;
            for (var at = YearOptions.Beat; at <= TimeSpan.FromDays(script.Days); at += YearOptions.Beat)
            {
                // Waiting for silent agents takes driven time of its own.
                if (harbour.World.Elapsed < at)
                {
                    time.Advance(at - harbour.World.Elapsed);
                }

                if (clockSteps.TryPeek(out YearFault? step) && step.From <= at)
                {
                    time.SetClock(clockSteps.Dequeue().ClockStep);
                }

                await service.StepAsync();
                steps++;
                if (steps % BeatsABatch == 0)
                {
                    await service.KeepAsync();
                }

                if (restarts.TryPeek(out TimeSpan restart) && restart <= at)
                {
                    restarts.Dequeue();
                    await service.DisposeAsync();
                    service = await YearService.StartAsync(harbour, time, folder.FullName);
                }

                if (steps % BeatsATale == 0)
                {
                    tell(FormattableString.Invariant($"day {at.TotalDays:0} after {TimeProvider.System.GetElapsedTime(began).TotalSeconds:0} s, {harbour.Answers} answers"));
                    var news = await service.Store.ReadAlarmChangesAsync(Start + at - (BeatsATale * YearOptions.Beat), Start + at, null, TestContext.Current.CancellationToken);
                    YearScore.Unforeseen(script, news, Start).ToList().ForEach(tell);
                }
            }

            await service.KeepAsync();
            await service.FlushAlarmsAsync();
            var changes = await service.Store.ReadAlarmChangesAsync(Start, DateTimeOffset.MaxValue, null, TestContext.Current.CancellationToken);
            IReadOnlyList<Alarm> alarms = await service.Store.LoadAlarmsAsync(TestContext.Current.CancellationToken);
            return new YearResult(script, YearScore.Of(script, changes, alarms, Start), harbour.Answers, steps, TimeProvider.System.GetElapsedTime(began));
        }
        finally
        {
            await service.DisposeAsync();
            folder.Delete(recursive: true);
        }
    }
}
