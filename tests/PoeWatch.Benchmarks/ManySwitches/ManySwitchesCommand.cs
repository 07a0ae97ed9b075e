using System.Collections.Frozen;
using System.Globalization;
using PoeWatch.Benchmarks.SwitchPolls;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Polling;
using PoeWatch.TestKit;

namespace PoeWatch.Benchmarks.ManySwitches;

/// <summary>
/// Polls many 48-port switches through the service's own loop, reader, intake and embedded store for a while, as tests/poll-many asks for it: who was
/// missed, what it cost, and whether memory stays flat. Ends with 1 where a period was missed or an answer was not whole.
/// </summary>
internal static class ManySwitchesCommand
{
    public const int Ports = 48;

    private const int SilentEvery = 10;

    /// <summary>From here on a run says something about the growth of memory.</summary>
    private static readonly TimeSpan s_longRun = TimeSpan.FromMinutes(20);

    /// <summary>Arguments: SWITCHES SECONDS SILENT (0 or 10 percent) PERIOD (seconds) UDP-PORT COMMUNITY|v3:AUTH.</summary>
    public static async Task<int> InvokeAsync(string[] args)
    {
        if (args.Length != 6)
        {
            await Console.Error.WriteLineAsync("many-switches SWITCHES SECONDS SILENT-PERCENT(0|10) PERIOD-SECONDS UDP-PORT COMMUNITY|v3:AUTH");
            return 2;
        }

        int[] numbers = [.. args[..5].Select(a => int.Parse(a, CultureInfo.InvariantCulture))];
        var (switches, seconds, hasSilent, udpPort) = (numbers[0], TimeSpan.FromSeconds(numbers[1]), numbers[2] > 0, numbers[4]);
        TimeSpan period = TimeSpan.FromSeconds(numbers[3]);
        TimeProvider time = TimeProvider.System;
        using var mute = new MutePort();
        bool IsSilent(int index) => hasSilent && index % SilentEvery == SilentEvery - 1;

        long began = time.GetTimestamp();
        FrozenDictionary<string, PollTarget> targets = LabSwitches.Targets(switches, Ports, i => IsSilent(i) ? mute.Number : udpPort, period);
        FrozenDictionary<string, int> places = Enumerable.Range(0, switches).ToFrozenDictionary(LabSwitches.Name, i => i, StringComparer.Ordinal);
        PollBook? book = null;
        await using var service = new LabService(SwitchPollCommand.Credentials(args[5]), new PollingOptions(), intake => book = new PollBook(intake, places, IsSilent, period, time));
        await service.StartAsync();
        service.Loop.Follow(targets);
        await Say($"switches {switches}, of them silent {(hasSilent ? switches / SilentEvery : 0)}, period {period.TotalSeconds:0} s, following them after {time.GetElapsedTime(began).TotalMilliseconds:0} ms");

        List<RunSample> samples = await WatchAsync(service, book!, period, seconds, time);
        PollTally tally = book!.Tally();
        await service.StopAsync();
        return await ReportAsync(service, tally, samples, switches - (hasSilent ? switches / SilentEvery : 0), seconds);
    }

    /// <summary>Looks now and then; the first look is after the first period, in which every agent is asked what it has.</summary>
    private static async Task<List<RunSample>> WatchAsync(LabService service, PollBook book, TimeSpan period, TimeSpan length, TimeProvider time)
    {
        var samples = new List<RunSample>();
        long start = time.GetTimestamp();
        TimeSpan step = TimeSpan.FromSeconds(Math.Max(period.TotalSeconds, length.TotalSeconds / 20));
        await Say($"| {RunSample.Heads} |");
        for (TimeSpan at = period + (period / 4), before = TimeSpan.Zero; before < length; before = at, at = at + step < length ? at + step : length)
        {
            TimeSpan wait = at - time.GetElapsedTime(start);
            await Task.Delay(wait > TimeSpan.Zero ? wait : TimeSpan.Zero, time);
            samples.Add(RunSample.Take(time.GetElapsedTime(start), service, book.Tally()));
            await Say($"| {samples[^1]} |");
        }

        return samples;
    }

    private static async Task<int> ReportAsync(LabService service, PollTally tally, List<RunSample> samples, int answering, TimeSpan length)
    {
        (RunSample first, RunSample last) = (samples[0], samples[^1]);
        var polls = Math.Max(1, last.Answers - first.Answers);
        var minutes = Math.Max(1e-9, (last.At - first.At).TotalMinutes);
        IReadOnlyList<(string What, FormattableString Figure)> figures =
        [
            ("switches that answered, each under an address of its own", $"{tally.Addresses} of {answering}"),
            ("whole polls", $"{tally.Answers}"),
            ("polls of theirs that were not whole", $"{tally.Others}"),
            ("whole polls in which some delivering port had no measured watts", $"{tally.Unmeasured}"),
            ("periods missed by a switch that answers", $"{tally.MissedPeriods}"),
            ("longest time between two answers of one switch", $"{tally.LongestGap.TotalSeconds:0.0} s"),
            ("polls of silent switches", $"{tally.Silences}"),
            ("processor seconds for 1,000 polls after the first period, store included", $"{(last.Processor - first.Processor).TotalSeconds * 1000 / polls:0.000}"),
            ("processor seconds a minute after the first period", $"{(last.Processor - first.Processor).TotalSeconds / minutes:0.00}"),
            ("bytes allocated for a poll after the first period, store and what the reading keeps included", $"{(last.Allocated - first.Allocated) / polls}"),
            ("resident memory at the end", $"{last.ResidentBytes >> 20} MB, live objects {last.LiveBytes >> 20} MB"),
            ("retries and late answers", $"{service.Client.Statistics.Retries} and {service.Client.Statistics.Late}"),
            ("readings dropped before the store", $"{service.Keeper.Dropped}"),
        ];
        foreach (var (what, figure) in figures)
        {
            EvidenceRun.Note(what, FormattableString.Invariant(figure));
            await Say($"{what}: {FormattableString.Invariant(figure)}");
        }

        foreach (RunSample sample in samples)
        {
            EvidenceRun.Note(FormattableString.Invariant($"after {sample.At.TotalMinutes:0.0} min: resident MB, live MB, polls, missed"), FormattableString.Invariant(
                $"{sample.ResidentBytes >> 20}, {sample.LiveBytes / 1048576.0:0.0}, {sample.Answers}, {sample.Missed}"));
        }

        var isFlat = length < s_longRun || IsFlat(samples);
        var isSound = tally.Addresses == answering && tally.MissedPeriods == 0 && tally.Others == 0 && tally.WrongPorts == 0
            && service.Client.Statistics.Faults == 0 && service.Keeper.Dropped == 0;
        await Say($"{(isSound ? "no period missed, all answers whole" : $"NOT SOUND: {tally.WrongPorts} answers without their ports, {service.Client.Statistics.Faults} faults")}; memory {(isFlat ? "flat" : "GREW")}");
        return isSound && isFlat ? 0 : 1;
    }

    // The largest live heap of the last third beside that of the third before it.
    private static bool IsFlat(List<RunSample> samples)
    {
        var third = samples.Count / 3;
        return third == 0 || samples[^third..].Max(s => s.LiveBytes) <= 1.05 * samples[third..^third].Max(s => s.LiveBytes);
    }

    private static Task Say(FormattableString line) => Console.Out.WriteLineAsync(FormattableString.Invariant(line));
}

/// <summary>One look at a running service.</summary>
internal sealed record RunSample(TimeSpan At, long Answers, long Missed, long Silences, TimeSpan Processor, long Allocated, long ResidentBytes, long LiveBytes, int InFlight, int Waiting, long BytesOnDisk)
{
    public const string Heads = "minutes | whole polls | missed | silent polls | processor s | resident MB | live MB | in flight | wait for the store | MB on disk";

    public static RunSample Take(TimeSpan at, LabService service, PollTally tally)
    {
        // Before the collection: what is resident is what it took, not what is left.
        long resident = Environment.WorkingSet;
        TimeSpan processor = Environment.CpuUsage.TotalTime;
        return new RunSample(
            at, tally.Answers, tally.MissedPeriods, tally.Silences, processor, GC.GetTotalAllocatedBytes(precise: true), resident, GC.GetTotalMemory(forceFullCollection: true), service.Loop.InFlight,
            service.Keeper.WaitingReadings, service.BytesOnDisk);
    }

    public override string ToString() => FormattableString.Invariant(
        $"{At.TotalMinutes:0.0} | {Answers} | {Missed} | {Silences} | {Processor.TotalSeconds:0.0} | {ResidentBytes >> 20} | {LiveBytes / 1048576.0:0.0} | {InFlight} | {Waiting} | {BytesOnDisk >> 20}");
}
