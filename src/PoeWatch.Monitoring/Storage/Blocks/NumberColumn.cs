using System.Buffers;
using System.Numerics;

namespace PoeWatch.Monitoring.Storage.Blocks;

/// <summary>
/// Packs a column of whole numbers: held against a level, a sloping line or the number before, divided by the step that all have in common, the
/// rest in as many bits as most of it needs (Golomb-Rice codes), with room for exceptions. A level that is hardly ever left costs its exceptions only. Any 64-bit numbers come back exactly. Pure.
/// </summary>
/// <remarks>
/// Rice codes are Golomb's (IEEE Trans. Inf. Theory 12, 1966) with a power of two: quotient in unary, remainder in k bits. docs/storage.md has the bytes.
/// Sums wrap around in 64 bits on both ways, so that no number is too large.
/// </remarks>
internal static class NumberColumn
{
    /// <summary>A quotient of this many ones is an exception: six bits of length less one and the number itself follow.</summary>
    internal const int ExceptionOnes = 12;

    private const int LengthBits = 6;
    private const int SlopeShift = 16;
    private const int MaxRemainderBits = 31;
    private const int LowMask = 15;
    private const int NegativeFlag = 1 << 4;
    private const int StepFlag = 1 << 5;
    private const int FormShift = 6;

    private enum Form
    {
        Still = 0,
        Level = 1,
        Line = 2,
        Steps = 3,
    }

    /// <summary>Appends the column; the reader has to know how many numbers it has. No number gives no byte.</summary>
    internal static void Write(ArrayBufferWriter<byte> output, ReadOnlySpan<long> numbers)
    {
        if (numbers.IsEmpty)
        {
            return;
        }

        // Without a step all numbers are the same, and any divisor does.
        var step = Math.Max(1, CommonStep(numbers));
        var units = numbers.Length <= 256 ? stackalloc long[numbers.Length] : new long[numbers.Length];
        for (var i = 0; i < units.Length; i++)
        {
            units[i] = unchecked(numbers[i] - numbers[0]) / step;
        }

        var plan = ColumnPlan.Best(units);
        WriteHead(output, plan, unchecked(numbers[0] + (plan.Base * step)), step);
        if (plan.Form == Form.Still)
        {
            WriteExceptions(output, units, plan.Base);
            return;
        }

        var bits = new BitWriter(output);
        var prediction = new Prediction(plan.Form, plan.Base, plan.Slope);
        for (var i = prediction.First; i < units.Length; i++)
        {
            WriteCode(ref bits, ZigZag.Of(unchecked(units[i] - prediction.At(i))), plan.Low);
            prediction.Saw(units[i]);
        }

        bits.Flush();
    }

    /// <summary>Reads a column of <paramref name="numbers"/>.Length numbers.</summary>
    /// <exception cref="InvalidDataException">The bytes are no such column.</exception>
    internal static void Read(ref PackedReader input, Span<long> numbers)
    {
        if (numbers.IsEmpty)
        {
            return;
        }

        var header = input.ReadByte();
        var form = (Form)(header >> FormShift);
        var low = header & LowMask;
        var remainderBits = low < LowMask || form == Form.Still ? low : input.ReadByte() & MaxRemainderBits;
        var magnitude = (long)input.ReadVarint();
        var start = (header & NegativeFlag) != 0 ? unchecked(-magnitude) : magnitude;
        var step = (header & StepFlag) != 0 ? input.ReadLong("step") : 1;
        if (form == Form.Still)
        {
            ReadExceptions(ref input, numbers, start, step, low);
            return;
        }

        var slope = form == Form.Line ? ZigZag.Back(input.ReadVarint()) : 0;
        var bits = new BitReader(input.Rest);
        var prediction = new Prediction(form, 0, slope);
        numbers[0] = start;
        for (var i = prediction.First; i < numbers.Length; i++)
        {
            var unit = unchecked(prediction.At(i) + ZigZag.Back(ReadCode(ref bits, remainderBits)));
            prediction.Saw(unit);
            numbers[i] = unchecked(start + (unit * step));
        }

        input.ReadBytes(bits.BytesRead);
    }

    private static void WriteHead(ArrayBufferWriter<byte> output, in ColumnPlan plan, long start, long step)
    {
        var isWide = plan.Form != Form.Still && plan.Low >= LowMask;
        output.WriteByte((byte)((int)plan.Form << FormShift
            | (step > 1 ? StepFlag : 0) | (start < 0 ? NegativeFlag : 0) | (isWide ? LowMask : plan.Low)));
        if (isWide)
        {
            output.WriteByte((byte)plan.Low);
        }

        output.WriteVarint((ulong)(start < 0 ? unchecked(-start) : start));
        if (step > 1)
        {
            output.WriteVarint((ulong)step);
        }

        if (plan.Form == Form.Line)
        {
            output.WriteVarint(ZigZag.Of(plan.Slope));
        }
    }

    private static void WriteExceptions(ArrayBufferWriter<byte> output, ReadOnlySpan<long> units, long level)
    {
        var gap = 0;
        foreach (var unit in units)
        {
            if (unit == level)
            {
                gap++;
                continue;
            }

            output.WriteVarint((ulong)gap);
            output.WriteVarint(ZigZag.Of(unchecked(unit - level)));
            gap = 0;
        }
    }

    private static void ReadExceptions(ref PackedReader input, Span<long> numbers, long start, long step, int count)
    {
        numbers.Fill(start);
        var next = 0;
        for (; count > 0; count--, next++)
        {
            next += input.ReadInt("gap") is var gap && gap < numbers.Length - next
                ? gap
                : throw new InvalidDataException("an exception lies past the end of its column");
            numbers[next] = unchecked(start + (ZigZag.Back(input.ReadVarint()) * step));
        }
    }

    private static void WriteCode(ref BitWriter bits, ulong value, int remainderBits)
    {
        var ones = value >> remainderBits;
        if (ones < ExceptionOnes)
        {
            bits.Write((1UL << (int)ones) - 1, (int)ones + 1);
            bits.Write(value & ((1UL << remainderBits) - 1), remainderBits);
            return;
        }

        var length = Math.Max(1, ZigZag.BitLength(value));
        bits.Write((1UL << ExceptionOnes) - 1, ExceptionOnes);
        bits.Write((ulong)(length - 1), LengthBits);
        bits.Write(value, length);
    }

    private static ulong ReadCode(ref BitReader bits, int remainderBits)
    {
        var next = bits.Peek();
        var ones = BitOperations.TrailingZeroCount(~next);
        if (ones < ExceptionOnes)
        {
            bits.Skip(ones + 1 + remainderBits);
            return (ulong)ones << remainderBits | next >> (ones + 1) & ((1UL << remainderBits) - 1);
        }

        bits.Skip(ExceptionOnes);
        return bits.Read((int)bits.Read(LengthBits) + 1);
    }

    // 0 where all numbers are the same. A distance of -2^63 has no positive counterpart: then nothing is divided.
    private static long CommonStep(ReadOnlySpan<long> numbers)
    {
        var step = 0L;
        foreach (var number in numbers)
        {
            var distance = unchecked(number - numbers[0]);
            if (distance == long.MinValue)
            {
                return 1;
            }

            for (var (a, b) = (Math.Abs(distance), step); ; (a, b) = (b, a % b))
            {
                if (b == 0)
                {
                    step = a;
                    break;
                }
            }

            if (step == 1)
            {
                return 1;
            }
        }

        return step;
    }

    /// <summary>What the next number is held against. Steps begin with the second number, for the first is the base itself.</summary>
    private struct Prediction(Form form, long level, long slope)
    {
        private long _level = form == Form.Steps ? 0 : level;

        internal readonly int First => form == Form.Steps ? 1 : 0;

        internal readonly long At(int index) => form == Form.Line ? unchecked(_level + (slope * index >> SlopeShift)) : _level;

        internal void Saw(long number)
        {
            if (form == Form.Steps)
            {
                _level = number;
            }
        }
    }

    /// <summary>How a column is written in the fewest bits, of the ways that there are.</summary>
    private readonly record struct ColumnPlan(Form Form, long Base, long Slope, int Low, long Bits)
    {
        internal static ColumnPlan Best(ReadOnlySpan<long> units)
        {
            var rest = units.Length <= 256 ? stackalloc long[units.Length] : new long[units.Length];
            units.CopyTo(rest);
            var level = Median(rest);
            var best = StillOf(level, units);
            if (best.Bits == 0)
            {
                return best;
            }

            var about = Of(Form.Level, level, 0, units, rest);
            best = about.Bits < best.Bits ? about : best;
            var steps = Of(Form.Steps, 0, 0, units, rest);
            best = steps.Bits < best.Bits ? steps : best;

            // Below three units over the whole column a slope cannot win, for it costs bytes of its own.
            var third = units.Length / 3;
            if (third > 0)
            {
                var rise = Mean(units[^third..]) - Mean(units[..third]);
                var slope = (long)Math.Clamp(rise / (units.Length - third) * (1 << SlopeShift), -1e15, 1e15);
                if (Math.Abs(rise) >= 3)
                {
                    for (var i = 0; i < rest.Length; i++)
                    {
                        rest[i] = unchecked(units[i] - (slope * i >> SlopeShift));
                    }

                    var line = Of(Form.Line, Median(rest), slope, units, rest);
                    best = line.Bits < best.Bits ? line : best;
                }
            }

            return best;
        }

        // Low is the number of exceptions: where there are more than it can say, or they take more room, another form is taken.
        private static ColumnPlan StillOf(long level, ReadOnlySpan<long> units)
        {
            var (count, bits) = (0, 0L);
            foreach (var unit in units)
            {
                if (unit != level)
                {
                    count++;
                    bits += 8 + (Math.Max(1, (ZigZag.BitLength(ZigZag.Of(unchecked(unit - level))) + 6) / 7) * 8);
                }
            }

            return count <= LowMask ? new ColumnPlan(Form.Still, level, 0, count, bits) : new ColumnPlan(Form.Still, level, 0, 0, long.MaxValue);
        }

        private static ColumnPlan Of(Form form, long level, long slope, ReadOnlySpan<long> units, Span<long> rest)
        {
            var prediction = new Prediction(form, level, slope);
            var sum = 0.0;
            for (var i = prediction.First; i < units.Length; i++)
            {
                var value = ZigZag.Of(unchecked(units[i] - prediction.At(i)));
                rest[i] = (long)value;
                sum += Math.Log2(value + 1.0);
                prediction.Saw(units[i]);
            }

            // The mean of the logarithms is not moved by exceptions; the best k lies beside it.
            var near = Math.Min((int)(sum / units.Length), MaxRemainderBits);
            var best = new ColumnPlan(form, level, slope, 0, long.MaxValue);
            for (var k = Math.Max(0, near - 1); k <= Math.Min(MaxRemainderBits, near + 1); k++)
            {
                var bits = form == Form.Line ? ZigZag.BitLength(ZigZag.Of(slope)) + 4L : 0;
                foreach (var value in rest[prediction.First..])
                {
                    var ones = (ulong)value >> k;
                    bits += ones < ExceptionOnes ? (long)ones + 1 + k : ExceptionOnes + LengthBits + ZigZag.BitLength((ulong)value);
                }

                best = bits < best.Bits ? best with { Low = k, Bits = bits } : best;
            }

            return best;
        }

        private static double Mean(ReadOnlySpan<long> numbers)
        {
            var sum = 0.0;
            foreach (var number in numbers)
            {
                sum += number;
            }

            return sum / numbers.Length;
        }

        private static long Median(Span<long> numbers)
        {
            numbers.Sort();
            return numbers[numbers.Length / 2];
        }
    }
}
