using System.Buffers.Binary;
using System.Collections.Immutable;
using CsCheck;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;
using PoeWatch.Monitoring.Storage.Blocks;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Storage.Tests.Codec;

public sealed class BlockCodecTests
{
    private static readonly BlockRow Row = new("quay-west", StoreTime.ToMicroseconds(SampleReadings.Start), 0);

    [Fact]
    public void Random_hours_come_back_exactly() =>
        Gen.Int.Sample(
            seed =>
            {
                var polls = RandomHour(new Random(seed));
                var back = BlockCodec.Decode(Row, BlockCodec.Encode(Row, polls));
                AssertEqual(polls, back);
            },
            iter: 500,
            threads: 1,
            print: seed => $"seed {seed}");

    [Fact]
    public void Hours_of_a_steady_site_come_back_exactly()
    {
        foreach (var step in new[] { 1, 10, 100 })
        {
            var (row, polls) = SiteHour(new SampleSite(step, 48, step), 0);
            AssertEqual(polls, BlockCodec.Decode(row, BlockCodec.Encode(row, polls)));
        }
    }

    [Fact]
    public void Every_state_with_every_provenance_comes_back()
    {
        BlockPoll[] polls = [new(SampleReadings.EveryCombination("quay-west", 7, SampleReadings.Start), 3), new(SampleReadings.EveryCombination("quay-west", 8, SampleReadings.Start.AddSeconds(9)), 3)];

        AssertEqual(polls, BlockCodec.Decode(Row, BlockCodec.Encode(Row, polls)));
    }

    [Fact]
    public void A_port_that_a_poll_names_twice_keeps_both()
    {
        var reading = SampleReadings.Answered("quay-west", 1, SampleReadings.Start, SampleReadings.Port("quay-west", 1, 5), SampleReadings.Port("quay-west", 1, 6));
        BlockPoll[] polls = [new(reading, 0)];

        AssertEqual(polls, BlockCodec.Decode(Row, BlockCodec.Encode(Row, polls)));
    }

    [Fact]
    public void Single_ports_read_as_they_do_with_all_the_others() =>
        Gen.Int.Sample(
            seed =>
            {
                var random = new Random(seed);
                var polls = RandomHour(random);
                PsePortRef[] ports = [new("quay-west", 1, random.Next(1, 60)), new("quay-west", random.Next(1, 3), random.Next(1, 60))];

                var page = BlockCodec.DecodePorts(Row, BlockCodec.Encode(Row, polls), ports);

                Assert.Equal(polls.Select(p => new PollMark(p.Reading.At, p.Reading.Outcome)), page.Polls);
                for (var i = 0; i < ports.Length; i++)
                {
                    Assert.Equal(polls.Select(p => Sample(p.Reading, ports[i])), page.Ports[i]);
                }
            },
            iter: 300,
            threads: 1,
            print: seed => $"seed {seed}");

    [Fact]
    public void Times_alone_are_read_to_the_microsecond()
    {
        var polls = RandomHour(new Random(4));

        Assert.Equal(polls.Select(p => StoreTime.ToMicroseconds(p.Reading.At)), BlockCodec.DecodeTimes(Row, BlockCodec.Encode(Row, polls)));
    }

    [Fact]
    public void Each_single_flipped_bit_is_found_out()
    {
        var payload = BlockCodec.Encode(Row, RandomHour(new Random(2))[..3]);
        for (var bit = 0; bit < payload.Length * 8; bit++)
        {
            var damaged = payload.ToArray();
            damaged[bit / 8] ^= (byte)(1 << (bit % 8));
            Assert.Throws<StoreException>(() => BlockCodec.Decode(Row, damaged));
        }
    }

    [Fact]
    public void Each_shortened_payload_and_each_changed_column_is_found_out()
    {
        var payload = BlockCodec.Encode(Row, [new BlockPoll(SampleReadings.Silent("quay-west", 7, SampleReadings.Start), 0)]);
        for (var length = 0; length < payload.Length; length++)
        {
            Assert.Throws<StoreException>(() => BlockCodec.Decode(Row, payload.AsSpan(0, length)));
        }

        foreach (var changed in new[] { Row with { PseId = "quay-east" }, Row with { Part = 1 }, Row with { HourMicroseconds = Row.HourMicroseconds + BlockRow.HourLength } })
        {
            Assert.Throws<StoreException>(() => BlockCodec.Decode(changed, payload));
        }
    }

    // With a right check sum behind random bytes the parser itself stands alone: it may read or refuse, and nothing else.
    [Fact]
    public void Random_bytes_never_break_the_parser() =>
        Gen.Byte.Array[0, 120].Sample(bytes => MayOnlyRefuse([BlockCodec.Version, .. bytes, 0, 0, 0, 0]), iter: 4_000, threads: 1);

    [Fact]
    public void Changed_bytes_never_break_the_parser()
    {
        var payload = BlockCodec.Encode(Row, RandomHour(new Random(5)));
        Gen.Select(Gen.Int[1, payload.Length - 5], Gen.Byte).Sample(
            (at, value) =>
            {
                var changed = payload.ToArray();
                changed[at] = value;
                MayOnlyRefuse(changed);
            },
            iter: 4_000,
            threads: 1);
    }

    // Both worked out by hand from docs/storage.md: a silent poll 1 ms after the hour; an answer in the same moment, port 1/1 with class 4 and 7 mW measured.
    [Fact]
    public void Bytes_are_as_documented()
    {
        var at = SampleReadings.Start.AddMilliseconds(1);
        var silent = new SwitchReading("quay-west", 7, at, PollOutcome.Silent, "", null, [], []);
        var answer = new SwitchReading("quay-west", 7, at, PollOutcome.Answered, "", null, [SampleReadings.Port("quay-west", 1, 7)], []);

        Assert.Equal("01 01 00904E 06 0100 0100 01 00 00 00 00 0007 00 0100 00".Replace(" ", "", StringComparison.Ordinal), BodyOf(silent));
        Assert.Equal(
            "01 01 00904E 02 01010001 0100 07 018B25 010100 00 0104 00 0001 0007 00 0100 00".Replace(" ", "", StringComparison.Ordinal), BodyOf(answer));
    }

    [Fact]
    public void Polls_out_of_order_or_of_another_hour_are_refused_as_a_bug()
    {
        var first = new BlockPoll(SampleReadings.Numbered("quay-west", 1), 0);
        var second = new BlockPoll(SampleReadings.Numbered("quay-west", 2), 0);

        Assert.Throws<ArgumentException>(() => BlockCodec.Encode(Row, [second, first]));
        Assert.Throws<ArgumentException>(() => BlockCodec.Encode(Row, [first, first]));
        Assert.Throws<ArgumentException>(() => BlockCodec.Encode(Row, [new BlockPoll(SampleReadings.Numbered("quay-west", 3600), 0)]));
        Assert.Throws<ArgumentException>(() => BlockCodec.Encode(Row, []));
    }

    /// <summary>The payload alone; what rows, index and pages add is measured in the stores.</summary>
    [Theory]
    [InlineData(1, 0.95)]
    [InlineData(10, 0.65)]
    [InlineData(100, 0.27)]
    public void A_port_sample_takes_few_bytes(int stepMilliwatts, double bytesAtMost)
    {
        var site = new SampleSite(48, 48, stepMilliwatts);
        var bytes = 0;
        for (var hour = 0; hour < 48; hour++)
        {
            var (row, polls) = SiteHour(site, hour);
            bytes += BlockCodec.Encode(row, polls).Length;
        }

        var each = bytes / (48.0 * 60 * 48);
        TestContext.Current.SendDiagnosticMessage($"steps of {stepMilliwatts} mW: {each:0.000} bytes a port sample");
        Assert.InRange(each, 0.1, bytesAtMost);
    }

    private static (BlockRow Row, BlockPoll[] Polls) SiteHour(SampleSite site, int hour) => (
        new BlockRow(SampleSite.Name(1), StoreTime.ToMicroseconds(SampleSite.Start.AddHours(hour)), 0),
        [.. Enumerable.Range(hour * 60, 60).Select(minute => new BlockPoll(site.Poll(1, minute), 1))]);

    private static BlockPoll[] RandomHour(Random random) =>
    [
        .. Enumerable.Range(0, random.Next(1, 70))
            .Select(_ => random.NextInt64(0, TimeSpan.TicksPerHour))
            .DistinctBy(ticks => ticks / TimeSpan.TicksPerMicrosecond)
            .Order()
            .Select(ticks => new BlockPoll(
                SampleReadings.Random(random, "quay-west", random.NextInt64(0, long.MaxValue), SampleReadings.Start.AddTicks(ticks)), random.Next(3))),
    ];

    private static PortSample Sample(SwitchReading reading, PsePortRef port) => reading.Ports.FirstOrDefault(p => p.Port == port) is { } found
        ? new PortSample(true, found.DrawAtPse is { } draw ? Power.FromMilliwatts(draw.Milliwatts) : null, found.Provenance, found.State)
        : default;

    private static void AssertEqual(IReadOnlyList<BlockPoll> expected, IReadOnlyList<BlockPoll> actual)
    {
        var nameless = ImmutableDictionary<PsePortRef, string>.Empty;
        ReadingAssert.Equal(expected.Select(p => p.Reading with { InterfaceNames = nameless }), actual.Select(p => p.Reading));
        Assert.Equal(expected.Select(p => p.NamesId), actual.Select(p => p.NamesId));
    }

    private static string BodyOf(SwitchReading reading) => Convert.ToHexString(BlockCodec.Encode(Row, [new BlockPoll(reading, 0)]).AsSpan(..^4));

    private static void MayOnlyRefuse(byte[] payload)
    {
        BinaryPrimitives.WriteUInt32LittleEndian(payload.AsSpan(^4..), CheckSum.Of(payload.AsSpan(..^4), Row.CheckSumSeed()));
        try
        {
            BlockCodec.Decode(Row, payload);
        }
        catch (StoreException)
        {
        }

        try
        {
            BlockCodec.DecodePorts(Row, payload, [new PsePortRef("quay-west", 1, 1)]);
        }
        catch (StoreException)
        {
        }
    }
}
