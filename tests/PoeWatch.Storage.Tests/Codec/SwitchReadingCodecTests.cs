using System.Buffers.Binary;
using System.Collections.Immutable;
using CsCheck;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Tests.Codec;

public sealed class SwitchReadingCodecTests
{
    private static readonly ImmutableDictionary<PsePortRef, string> NoNames = ImmutableDictionary<PsePortRef, string>.Empty;

    [Fact]
    public void Random_readings_come_back_exactly() =>
        Gen.Int.Sample(
            seed =>
            {
                var random = new Random(seed);
                var at = SampleReadings.Start.AddTicks(random.NextInt64(0, TimeSpan.FromDays(4000).Ticks));
                var reading = SampleReadings.Random(random, "quay-west", random.NextInt64(0, long.MaxValue), at);
                var row = PollRow.Of(reading, random.Next(3));
                ReadingAssert.Equal(reading, SwitchReadingCodec.Decode(row, SwitchReadingCodec.Encode(reading, row), reading.InterfaceNames));
            },
            iter: 3000,
            threads: 1,
            print: seed => $"seed {seed}");

    [Fact]
    public void Each_single_flipped_bit_is_found_out()
    {
        var (row, payload) = Packed(SampleReadings.EveryCombination("quay-west", 7, SampleReadings.Start));
        for (var bit = 0; bit < payload.Length * 8; bit++)
        {
            var damaged = payload.ToArray();
            damaged[bit / 8] ^= (byte)(1 << (bit % 8));
            Assert.Throws<StoreException>(() => SwitchReadingCodec.Decode(row, damaged, NoNames));
        }
    }

    [Fact]
    public void Each_shortened_payload_is_found_out()
    {
        var (row, payload) = Packed(SampleReadings.Numbered("quay-west", 7));
        for (var length = 0; length < payload.Length; length++)
        {
            Assert.Throws<StoreException>(() => SwitchReadingCodec.Decode(row, payload.AsSpan(0, length), NoNames));
        }
    }

    [Fact]
    public void A_changed_column_is_found_out()
    {
        var (row, payload) = Packed(SampleReadings.Silent("quay-west", 7, SampleReadings.Start));
        foreach (var changed in new[]
        {
            row with { PseId = "quay-east" },
            row with { AtMicroseconds = row.AtMicroseconds + 1 },
            row with { Outcome = PollOutcome.Answered },
            row with { Detail = "" },
            row with { NamesId = 1 },
        })
        {
            Assert.Throws<StoreException>(() => SwitchReadingCodec.Decode(changed, payload, NoNames));
        }
    }

    [Fact]
    public void A_newer_layout_is_refused_by_name()
    {
        var (row, payload) = Packed(SampleReadings.Numbered("quay-west", 7));
        payload[0] = 9;

        var error = Assert.Throws<StoreException>(() => SwitchReadingCodec.Decode(row, payload, NoNames));

        Assert.Contains("version 9", error.Message, StringComparison.Ordinal);
        Assert.Contains("newer software", error.Message, StringComparison.Ordinal);
        Assert.Contains("2026-03-01T06:00:07", error.Message, StringComparison.Ordinal);
    }

    // With a right check sum behind random bytes the parser itself stands alone: it may read or refuse, and nothing else.
    [Fact]
    public void Random_bytes_never_break_the_parser() =>
        Gen.Byte.Array[0, 80].Sample(
            bytes =>
            {
                var row = new PollRow("quay-west", 0, PollOutcome.Answered, "", 0);
                byte[] payload = [SwitchReadingCodec.Version, .. bytes, 0, 0, 0, 0];
                BinaryPrimitives.WriteUInt32LittleEndian(payload.AsSpan(^4..), CheckSum.Of(payload.AsSpan(..^4), row.CheckSumSeed()));
                try
                {
                    var reading = SwitchReadingCodec.Decode(row, payload, NoNames);
                    Assert.True(reading.Ports.Length <= bytes.Length);
                }
                catch (StoreException e)
                {
                    Assert.False(e.IsTransient);
                }
            },
            iter: 100_000,
            threads: 1);

    // What is on people's disks can be read for good: a change of layout takes a new version number, never this test's bytes.
    [Fact]
    public void Version_1_is_written_byte_by_byte_as_documented()
    {
        PortReading[] ports = [SampleReadings.Port("quay-west", 1, 0), SampleReadings.Port("quay-west", 2, 25_400)];
        var reading = SampleReadings.Answered("quay-west", 300, SampleReadings.Start, ports) with { Groups = SampleReadings.Groups() };
        var (_, payload) = Packed(reading);

        Assert.Equal(
            "01" // version
            + "AC02" // sequence 300
            + "01" // no ticks below the microsecond; an up-time follows
            + "E0D403" // 300 s = 30000 hundredths, shifted by one
            + "02" // two ports
            + "00" + "8B55" // a new tag: delivering, measured, class 4, zero, follows
            + "01" + "8B65" // a new tag: the same with watts
            + "B8C601" // 25400 mW
            + "03" // three groups
            + "01" + "A105" + "80F92B" + "D8FD12" // group 1: measured, on; 720000 mW; 311000 mW
            + "02" + "9001" + "D0CA16" // group 2: unknown, off; 370000 mW
            + "03" + "8402" // group 3: estimated, not said; no budget; zero
            + "4AC3E4A4", // CRC-32C over columns and bytes, also worked out by a table-driven program in another language
            Convert.ToHexString(payload));
    }

    [Fact]
    public void Version_2_adds_the_priority_to_the_tag()
    {
        PortReading[] ports = [SampleReadings.Port("quay-west", 1, 0) with { Priority = Criticality.High }, SampleReadings.Port("quay-west", 2, 25_400)];
        var (row, payload) = Packed(SampleReadings.Answered("quay-west", 300, SampleReadings.Start, ports));

        // Tag 2A8B of version 1 (8B55 as written) with high (2) in the bits 14 and 15: AA8B, that is 8BD502.
        Assert.Equal("02AC0201E0D40302008BD502018B65B8C60100", Convert.ToHexString(payload[..^4]));
        Assert.Equal([Criticality.High, Criticality.Unknown], SwitchReadingCodec.Decode(row, payload, NoNames).Ports.Select(p => p.Priority));
    }

    [Theory]
    [InlineData(0, "measured, steady", 210)]
    [InlineData(1, "half of the ports off", 160)]
    public void A_poll_of_48_ports_takes_few_bytes(int kind, string what, int atMost)
    {
        var random = new Random(5);
        var ports = Enumerable.Range(1, 48).Select(n => kind == 1 && n % 2 == 0
            ? new PortReading(new PsePortRef("quay-west", 1, n), PortState.Searching, Domain.Quantities.Power.Zero, Provenance.Off, null)
            : SampleReadings.Port("quay-west", n, random.Next(3_000, 30_000)));
        var (_, payload) = Packed(SampleReadings.Answered("quay-west", 1_000_000, SampleReadings.Start, [.. ports]));

        TestContext.Current.SendDiagnosticMessage($"{what}: {payload.Length} bytes, {payload.Length / 48.0:0.00} a port");
        Assert.InRange(payload.Length, 48, atMost);
    }

    [Fact]
    public void Rejects_a_port_of_another_element()
    {
        var reading = SampleReadings.Answered("quay-west", 1, SampleReadings.Start, SampleReadings.Port("mole-head", 1, 5));
        Assert.Throws<ArgumentException>(() => Packed(reading));
    }

    private static (PollRow Row, byte[] Payload) Packed(SwitchReading reading)
    {
        var row = PollRow.Of(reading, 0);
        return (row, SwitchReadingCodec.Encode(reading, row));
    }
}
