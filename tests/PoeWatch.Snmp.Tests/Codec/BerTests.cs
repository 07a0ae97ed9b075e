using PoeWatch.Snmp.Codec;

namespace PoeWatch.Snmp.Tests.Codec;

/// <summary>Elements one by one: what is written, what is read, what is refused.</summary>
public sealed class BerTests
{
    // B. Kaliski, A Layman's Guide to a Subset of ASN.1, BER, and DER (1993), section 5.7, table 3. Signs beyond it by hand.
    [Theory]
    [InlineData(0, "020100")]
    [InlineData(127, "02017F")]
    [InlineData(128, "02020080")]
    [InlineData(256, "02020100")]
    [InlineData(-128, "020180")]
    [InlineData(-129, "0202FF7F")]
    [InlineData(-1, "0201FF")]
    [InlineData(int.MaxValue, "02047FFFFFFF")]
    [InlineData(int.MinValue, "020480000000")]
    [InlineData(long.MinValue, "02088000000000000000")]
    public void Integers_are_written_in_their_shortest_form_and_read_back(long value, string hex)
    {
        BerWriter writer = new(new byte[16]);
        writer.WriteInteger(value);

        Assert.Equal(hex, Convert.ToHexString(writer.Written));
        Assert.True(new BerReader(writer.Written).TryReadElement(BerTag.Integer, out ReadOnlySpan<byte> content));
        Assert.True(BerReader.TryDecodeSigned(content, out long read));
        Assert.Equal(value, read);
    }

    [Theory]
    [InlineData(0ul, "410100")]
    [InlineData(127ul, "41017F")]
    [InlineData(128ul, "41020080")]
    [InlineData(4294967295ul, "410500FFFFFFFF")]
    [InlineData(ulong.MaxValue, "410900FFFFFFFFFFFFFFFF")]
    public void Unsigned_numbers_get_the_zero_that_keeps_them_positive(ulong value, string hex)
    {
        BerWriter writer = new(new byte[16]);
        writer.WriteUnsigned(BerTag.Counter32, value);

        Assert.Equal(hex, Convert.ToHexString(writer.Written));
    }

    [Theory]
    [InlineData(0, "0400")]
    [InlineData(127, "047F")]
    [InlineData(128, "048180")]
    [InlineData(255, "0481FF")]
    [InlineData(256, "04820100")]
    [InlineData(65535, "0482FFFF")]
    public void Lengths_take_their_shortest_form(int length, string header) // X.690 section 8.1.3, by hand
    {
        BerWriter writer = new(new byte[length + 8]);
        writer.WriteOctets(BerTag.OctetString, new byte[length]);

        Assert.Equal(header, Convert.ToHexString(writer.Written[..^length]));
    }

    [Theory]
    [InlineData("020400000005", 5)] // non-minimal
    [InlineData("0205000000007F", 127)]
    [InlineData("0209FFFFFFFFFFFFFFFFFE", -2)]
    [InlineData("02050000FFFFFF", 0xFFFFFF)]
    [InlineData("028400000001FF", -1)] // length in long form
    [InlineData("0288000000000000000105", 5)] // length of length beyond need
    public void Numbers_that_agents_write_clumsily_are_read(string hex, int value)
    {
        BerReader reader = new(Convert.FromHexString(hex));

        Assert.True(reader.TryReadInt32(out int read));
        Assert.Equal(value, read);
        Assert.True(reader.AtEnd);
    }

    [Theory]
    [InlineData("04847FFFFFC001")] // length bomb: 2 GiB announced in seven bytes
    [InlineData("0484FFFFFFFF00")]
    [InlineData("0489010000000000000000")]
    [InlineData("04FF00")]
    [InlineData("040500")] // longer than what follows
    [InlineData("30800000")] // indefinite form, RFC 3417 section 8
    [InlineData("1F8101")] // tag in more than one byte
    [InlineData("0482FF")]
    [InlineData("04")]
    [InlineData("")]
    public void Headers_that_cannot_be_are_refused_without_allocating(string hex)
    {
        byte[] data = Convert.FromHexString(hex);
        long before = GC.GetAllocatedBytesForCurrentThread();

        bool read = new BerReader(data).TryReadElement(out _, out _);

        Assert.False(read);
        Assert.True(GC.GetAllocatedBytesForCurrentThread() - before < 1000);
    }

    [Fact]
    public void Too_wide_an_integer_is_no_int32_and_nothing_moves()
    {
        BerReader reader = new(Convert.FromHexString("02050100000000020107"));

        Assert.False(reader.TryReadInt32(out _));
        Assert.True(reader.TryReadElement(out _, out _));
        Assert.True(reader.TryReadInt32(out int next));
        Assert.Equal(7, next);
    }

    [Fact]
    public void Thousands_of_nested_sequences_end_in_a_refusal_not_in_a_stack_overflow()
    {
        byte[] bomb = new byte[65_000];
        for (int i = 0; i + 4 <= bomb.Length; i += 4)
        {
            int rest = bomb.Length - i - 4;
            (bomb[i], bomb[i + 1], bomb[i + 2], bomb[i + 3]) = (0x30, 0x82, (byte)(rest >> 8), (byte)rest);
        }

        Assert.False(MessageHead.TryRead(bomb, out _));
        Assert.False(CommunityMessage.TryRead(bomb, out _, out _));
        Assert.False(UsmMessage.TryRead(bomb, out _));
        Assert.False(VarBindReader.TryDecode(bomb, 0, bomb.Length, out _));
    }

    [Fact]
    public void Too_small_a_buffer_is_a_bug_and_throws() =>
        Assert.ThrowsAny<Exception>(() =>
        {
            BerWriter writer = new(new byte[3]);
            writer.WriteInteger(70_000);
        });
}
