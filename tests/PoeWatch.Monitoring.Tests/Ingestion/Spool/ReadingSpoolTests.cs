using System.Collections.Immutable;
using Microsoft.Extensions.Logging.Abstractions;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Readings.Changes;
using PoeWatch.Monitoring.Ingestion.Spool;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Monitoring.Tests.Ingestion.Spool;

public sealed class ReadingSpoolTests
{
    private const long Large = 1L << 30;

    private static readonly DateTimeOffset Start = new(2026, 11, 24, 12, 0, 0, TimeSpan.Zero);

    private readonly MemoryDisk _disk = new();

    [Fact]
    public void All_that_the_history_keeps_of_a_poll_comes_back()
    {
        var port = new PsePortRef("quay", 1, 7);
        var reading = new SwitchReading(
            "quay", 42, Start.AddTicks(3), PollOutcome.Partial, "one column was refused – größer", TimeSpan.FromSeconds(9),
            [new PortReading(port, PortState.Delivering, Power.FromMilliwatts(6_543), Provenance.Measured, PoeClass.Class4)],
            [new GroupReading(1, Power.FromWatts(370), null, Provenance.Unknown, true)])
        {
            InterfaceNames = ImmutableDictionary<PsePortRef, string>.Empty.Add(port, "Gi1/0/7"),
            Changes = [new AgentChange(AgentChangeKind.Restarted, "started again")],
        };
        Assert.True(NewSpool().TryAdd([reading, Silence(43)]));

        var back = NewSpool().Peek(10)!.Readings;

        Assert.Equal(reading with { Ports = back[0].Ports, Groups = back[0].Groups, InterfaceNames = back[0].InterfaceNames, Changes = back[0].Changes }, back[0]);
        Assert.Equal(reading.Changes.AsEnumerable(), back[0].Changes);
        Assert.Equal(reading.Ports.AsEnumerable(), back[0].Ports);
        Assert.Equal(reading.Groups.AsEnumerable(), back[0].Groups);
        Assert.Equal(reading.InterfaceNames.AsEnumerable(), back[0].InterfaceNames);
        Assert.Equal(43, back[1].Sequence);
    }

    [Fact]
    public void Polls_come_out_in_order_and_files_go_when_they_are_empty()
    {
        var spool = NewSpool();
        for (var n = 0; n < 40; n++)
        {
            Assert.True(spool.TryAdd([.. Enumerable.Range(n * 3, 3).Select(i => Wide(i))]));
        }

        Assert.Equal(120, spool.Polls);
        Assert.True(_disk.Names.Count > 1);
        Assert.Equal(Enumerable.Range(0, 120).Select(i => (long)i), Drain(spool));
        Assert.Equal((0L, 0L, 0L), (spool.Polls, spool.Bytes, _disk.Bytes));
    }

    [Fact]
    public void What_was_not_taken_out_is_found_again_after_a_restart()
    {
        var spool = NewSpool();
        for (var n = 0; n < 5; n++)
        {
            spool.TryAdd([Silence(n)]);
        }

        spool.Remove(spool.Peek(1)!);

        // The file is only deleted when all of it was taken out: what the store has already comes again, in order, and changes nothing there.
        Assert.Equal([0, 1, 2, 3, 4], Drain(NewSpool()));
    }

    [Fact]
    public void A_full_spool_refuses_and_says_so_and_keeps_the_oldest()
    {
        var spool = new ReadingSpool(_disk, 500, NullLogger<ReadingSpool>.Instance);
        var added = 0;
        while (spool.TryAdd([Silence(added)]))
        {
            added++;
        }

        Assert.InRange(added, 2, 20);
        Assert.Contains("full", spool.Problem, StringComparison.Ordinal);
        Assert.InRange(_disk.Bytes, 1, 500);
        Assert.Equal(Enumerable.Range(0, added).Select(i => (long)i), Drain(spool));
        Assert.True(spool.TryAdd([Silence(99)]));
        Assert.Empty(spool.Problem);
    }

    [Fact]
    public void A_torn_last_frame_is_cut_off_and_the_rest_stays()
    {
        var spool = NewSpool();
        spool.TryAdd([Silence(1)]);
        var whole = _disk.Bytes;
        spool.TryAdd([Silence(2)]);
        for (var torn = 1; torn < _disk.Bytes - whole; torn++)
        {
            var disk = CopyOf(_disk);
            disk.Tear(disk.Names[0], torn);
            var after = new ReadingSpool(disk, Large, NullLogger<ReadingSpool>.Instance);

            Assert.True(after.TryOpen());
            Assert.Equal((1L, 0L, whole), (after.Polls, after.Damaged, disk.Bytes));
            Assert.True(after.TryAdd([Silence(3)]));
            Assert.Equal([1, 3], Drain(after));
        }
    }

    [Fact]
    public void A_damaged_byte_costs_its_own_frame_only_and_is_said()
    {
        var spool = NewSpool();
        for (var n = 0; n < 4; n++)
        {
            spool.TryAdd([Silence(n)]);
        }

        var frame = (int)_disk.Bytes / 4;
        for (var at = frame; at < 2 * frame; at++)
        {
            var disk = CopyOf(_disk);
            disk.Damage(disk.Names[0], at);
            var after = new ReadingSpool(disk, Large, NullLogger<ReadingSpool>.Instance);

            Assert.Equal([0, 2, 3], Drain(after));
            Assert.Equal(1, after.Damaged);
        }
    }

    /// <summary>The disk fails at its Nth write for growing N, for a while or for good, with a torn rest or none; then the service starts again.</summary>
    [Fact]
    public void Whatever_write_fails_nothing_that_was_taken_as_kept_is_lost_and_the_order_stays()
    {
        for (var failFrom = 0; failFrom < 40; failFrom++)
        {
            foreach (var (failCount, torn) in new[] { (1, 0), (1, 5), (2, 11), (3, 40), (int.MaxValue, 0), (int.MaxValue, 21) })
            {
                OneLife(new MemoryDisk { FailFrom = failFrom, FailCount = failCount, TornBytes = torn });
            }
        }
    }

    private static void OneLife(MemoryDisk disk)
    {
        var spool = new ReadingSpool(disk, Large, NullLogger<ReadingSpool>.Instance);
        var (kept, stored) = (new List<long>(), new List<long>());
        for (var n = 0; n < 12; n++)
        {
            if (spool.TryAdd([Silence(2 * n), Silence((2 * n) + 1)]))
            {
                kept.AddRange([2 * n, (2 * n) + 1]);
            }

            if (n % 3 == 2 && spool.Peek(2) is { } batch)
            {
                stored.AddRange(batch.Readings.Select(r => r.Sequence));
                spool.Remove(batch);
            }
        }

        // Killed here; the disk is well again.
        disk.FailFrom = null;
        var after = new ReadingSpool(disk, Large, NullLogger<ReadingSpool>.Instance);
        stored.AddRange(Drain(after));

        Assert.Empty(kept.Except(stored));
        Assert.Equal(0, after.Damaged);
        var replayed = stored.Distinct().ToList();
        Assert.Equal(replayed.Order(), replayed);
    }

    private ReadingSpool NewSpool() => new(_disk, Large, NullLogger<ReadingSpool>.Instance);

    private static List<long> Drain(ReadingSpool spool)
    {
        var sequences = new List<long>();
        while (spool.Peek(7) is { } batch)
        {
            sequences.AddRange(batch.Readings.Select(r => r.Sequence));
            spool.Remove(batch);
        }

        return sequences;
    }

    private static MemoryDisk CopyOf(MemoryDisk disk)
    {
        var copy = new MemoryDisk();
        foreach (var name in disk.Names)
        {
            copy.Append(name, disk.Read(name));
        }

        return copy;
    }

    private static SwitchReading Silence(long sequence) =>
        new("quay", sequence, Start.AddSeconds(sequence), PollOutcome.Silent, "no answer", null, [], []);

    private static SwitchReading Wide(long sequence) => Silence(sequence) with { Detail = new string('x', 100_000) };
}
