namespace PoeWatch.Snmp.Tests;

/// <summary>Object identifiers: text, bytes, order.</summary>
public sealed class OidTests
{
    [Theory]
    [InlineData("2.100.3", "813403")] // X.690 (07/2002) section 8.19.5, the example
    [InlineData("1.3.6.1.2.1.1.3.0", "2B06010201010300")] // captured from Net-SNMP 5.9.3's snmpget
    [InlineData("1.3.6.1.4.1.4294967295", "2B060104018FFFFFFF7F")] // by hand
    [InlineData("0.39", "27")] // by hand: 40 * 0 + 39
    [InlineData("2.4294967295", "908080804F")] // by hand: 80 + 4294967295
    public void Text_and_bytes_are_the_same_thing(string text, string hex)
    {
        Oid oid = Oid.Parse(text);

        Assert.Equal(hex, Convert.ToHexString(oid.Encoded));
        Assert.Equal(text, oid.ToString());
        Assert.Equal(text.Split('.').Length, oid.Count);
        Assert.Equal(oid, Oid.Parse("." + text));
    }

    [Theory]
    [InlineData("")]
    [InlineData("1")]
    [InlineData("1.3.")]
    [InlineData("1..3")]
    [InlineData("3.1")]
    [InlineData("1.40")]
    [InlineData("1.3.-1")]
    [InlineData("1.3.4294967296")]
    [InlineData("1.3.six")]
    public void Rejects_what_is_no_oid_and_says_what_is(string text)
    {
        FormatException error = Assert.Throws<FormatException>(() => Oid.Parse(text));

        Assert.Contains($"'{text}'", error.Message, StringComparison.Ordinal);
        Assert.Contains("such as 1.3.6.1", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Takes_128_sub_identifiers_and_no_more() // RFC 2578 section 3.5
    {
        string longest = "1.3." + string.Join('.', Enumerable.Repeat("7", 126));

        Assert.Equal(128, Oid.Parse(longest).Count);
        Assert.False(Oid.TryParse(longest + ".7", out _));
        Assert.Throws<ArgumentException>(() => Oid.Parse(longest).Append(7));
    }

    [Fact]
    public void Order_is_that_of_the_sub_identifiers()
    {
        Random random = new(20260701);
        uint[] edges = [0, 1, 39, 127, 128, 129, 16383, 16384, 2097151, 2097152, 268435455, 268435456, uint.MaxValue];
        for (int round = 0; round < 20_000; round++)
        {
            uint[] left = [1, 3, .. Numbers()];
            uint[] right = [1, 3, .. Numbers()];
            int expected = left.AsSpan().SequenceCompareTo(right);

            Assert.Equal(Math.Sign(expected), Math.Sign(Oid.From(left).CompareTo(Oid.From(right))));
        }

        uint[] Numbers() => [.. Enumerable.Range(0, random.Next(4)).Select(_ => edges[random.Next(edges.Length)])];
    }

    [Fact]
    public void Index_of_a_cell_is_what_follows_its_column()
    {
        Oid column = Oid.Parse("1.3.6.1.2.1.105.1.1.1.6");
        Span<uint> index = stackalloc uint[2];

        Assert.True(column.Append(1, 300).TryGetIndex(column, index, out int count));
        Assert.Equal([1u, 300u], index[..count]);
        Assert.False(column.Append(1, 2, 3).TryGetIndex(column, index, out _));
        Assert.False(Oid.Parse("1.3.6.1.2.1.105.1.1.1.7.1").TryGetIndex(column, index, out _));
        Assert.False(column.TryGetIndex(default, index, out _));
    }

    [Fact]
    public void Prefix_is_counted_in_sub_identifiers_not_in_digits()
    {
        Oid column = Oid.Parse("1.3.6.1.2.1.105.1.1.1.1");

        Assert.True(column.StartsWith(column));
        Assert.True(column.Append(5).StartsWith(column));
        Assert.False(Oid.Parse("1.3.6.1.2.1.105.1.1.1.10").StartsWith(column));
    }

    [Fact]
    public void Default_is_empty_and_sorts_first()
    {
        Oid empty = default;

        Assert.True(empty.IsEmpty);
        Assert.Equal("", empty.ToString());
        Assert.True(empty < Oid.Parse("0.0"));
        Assert.Equal(empty, empty.ToOwned());
    }

    [Fact]
    public void Sub_identifiers_are_read_by_index()
    {
        Oid oid = Oid.Parse("1.3.6.1.4.1.300");

        Assert.Equal([1u, 3u, 300u], [oid[0], oid[1], oid[6]]);
        Assert.Throws<ArgumentOutOfRangeException>(() => oid[7]);
    }
}
