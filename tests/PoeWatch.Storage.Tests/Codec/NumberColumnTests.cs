using System.Buffers;
using CsCheck;
using PoeWatch.Monitoring.Storage;
using PoeWatch.Monitoring.Storage.Blocks;

namespace PoeWatch.Storage.Tests.Codec;

public sealed class NumberColumnTests
{
    private static readonly Gen<long> AnyNumber = Gen.OneOf(
        Gen.Long, Gen.Long[-5, 5], Gen.Long[6_400, 6_600], Gen.Long[0, 1L << 40], Gen.Const(long.MinValue), Gen.Const(long.MaxValue), Gen.Const(0L));

    [Fact]
    public void Any_numbers_come_back_exactly() =>
        AnyNumber.Array[0, 130].Sample(numbers => Assert.Equal(numbers, Back(numbers)), iter: 8_000, threads: 1);

    [Fact]
    public void Noise_about_a_level_a_slope_and_a_walk_in_any_step_comes_back_exactly() =>
        Gen.Select(Gen.Int[0, 2], Gen.Long[1, 100_000], Gen.Long[-100_000, 100_000], Gen.Int[1, 90], Gen.Int).Sample(
            (form, step, level, count, seed) =>
            {
                var random = new Random(seed);
                var numbers = new long[count];
                for (var i = 0; i < count; i++)
                {
                    var noise = random.Next(20) == 0 ? random.Next(10_000) : random.Next(40);
                    numbers[i] = step * (noise + (form == 1 ? i * level / 50 : form == 2 && i > 0 ? numbers[i - 1] / step : level));
                }

                Assert.Equal(numbers, Back(numbers));
            },
            iter: 8_000,
            threads: 1);

    // Worked out by hand from docs/storage.md.
    [Theory]
    [InlineData(new long[] { 5, 5, 5 }, "00 05")]
    [InlineData(new long[] { 10, 20, 30, 40 }, "E0 0A 0A DB 00")]
    [InlineData(new long[] { 0, 1, 0, 1, 0, 0, 0, 1000 }, "40 00 66 F8 7F 05 FA")]
    [InlineData(new long[] { -7, -7, -7, -7, -7, -7, -7, -7, -7, -7, -7, -7, -7, -7, -7, -7, -7, -7, -7, -7, -5, -7, -7, -7 }, "31 07 02 14 02")]
    public void Bytes_are_as_documented(long[] numbers, string bytes) =>
        Assert.Equal(bytes, Convert.ToHexString(Written(numbers)).Chunk(2).Select(c => new string(c)).Aggregate((a, b) => $"{a} {b}"));

    // Entropy of a Gaussian with a deviation of 20 steps: log2(20 * sqrt(2 * pi * e)) = 6.37 bits (Shannon 1948, section 20). Rice codes lie a little above it.
    [Fact]
    public void Noise_takes_little_more_than_its_entropy()
    {
        var random = new Random(7);
        var numbers = new long[60];
        var bytes = 0;
        for (var hour = 0; hour < 200; hour++)
        {
            for (var i = 0; i < numbers.Length; i++)
            {
                numbers[i] = (long)Math.Round(6_500 + (20 * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(Math.Tau * random.NextDouble())));
            }

            bytes += Written(numbers).Length;
        }

        Assert.InRange(bytes * 8 / (200.0 * 60), 6.37, 7.1);
    }

    [Fact]
    public void Random_bytes_give_numbers_or_a_refusal_and_nothing_else() =>
        Gen.Byte.Array[0, 60].Sample(
            bytes =>
            {
                try
                {
                    var input = new PackedReader(bytes);
                    NumberColumn.Read(ref input, new long[40]);
                }
                catch (InvalidDataException)
                {
                }
            },
            iter: 8_000,
            threads: 1);

    private static byte[] Written(long[] numbers)
    {
        var output = new ArrayBufferWriter<byte>();
        NumberColumn.Write(output, numbers);
        return output.WrittenSpan.ToArray();
    }

    private static long[] Back(long[] numbers)
    {
        byte[] bytes = [.. Written(numbers), 0xA5];
        var input = new PackedReader(bytes);
        var back = new long[numbers.Length];
        NumberColumn.Read(ref input, back);
        Assert.Equal(1, input.Remaining);
        return back;
    }
}
