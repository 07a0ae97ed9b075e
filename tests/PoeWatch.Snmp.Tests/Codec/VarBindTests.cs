using PoeWatch.Snmp.Codec;

namespace PoeWatch.Snmp.Tests.Codec;

/// <summary>Values in a variable-bindings list, those that agents write clumsily included.</summary>
public sealed class VarBindTests
{
    private const string Name = "06032B0601"; // 1.3.6.1

    private static SnmpValue Decode(string valueHex)
    {
        byte[] binding = Convert.FromHexString(Name + valueHex);
        BerWriter writer = new(new byte[200]);
        writer.WriteOctets(BerTag.Sequence, binding);
        byte[] list = writer.Written.ToArray();
        Assert.True(VarBindReader.TryDecode(list, 0, list.Length, out VarBind[] varBinds));
        Assert.Equal(Oid.Parse("1.3.6.1"), varBinds[0].Oid);
        return varBinds[0].Value;
    }

    [Theory]
    [InlineData("020103", SnmpType.Integer32, 3L)]
    [InlineData("020400000005", SnmpType.Integer32, 5L)]
    [InlineData("0204FFFFFFFE", SnmpType.Integer32, -2L)]
    [InlineData("020500FFFFFFFF", SnmpType.Integer32, 4294967295L)] // an unsigned number under the wrong type is believed
    [InlineData("41050000000005", SnmpType.Counter32, 5L)]
    [InlineData("4104FFFFFFFE", SnmpType.Counter32, 4294967294L)] // leading zero forgotten
    [InlineData("410500FFFFFFFE", SnmpType.Counter32, 4294967294L)]
    [InlineData("4201C8", SnmpType.Gauge32, 200L)]
    [InlineData("4206000000000007", SnmpType.Gauge32, 7L)]
    [InlineData("4303FFFFFF", SnmpType.TimeTicks, 16777215L)]
    [InlineData("460901FFFFFFFFFFFFFFFF", SnmpType.Undecodable, null)] // beyond 64 bits
    [InlineData("46087FFFFFFFFFFFFFFF", SnmpType.Counter64, long.MaxValue)]
    [InlineData("47020100", SnmpType.Gauge32, 256L)] // UInteger32 of RFC 1442
    [InlineData("41050100000000", SnmpType.Undecodable, null)] // beyond 32 bits
    [InlineData("0200", SnmpType.Undecodable, null)]
    [InlineData("4100", SnmpType.Undecodable, null)]
    [InlineData("40020A00", SnmpType.Undecodable, null)] // half an address
    [InlineData("0602FF80", SnmpType.Undecodable, null)]
    [InlineData("3003020105", SnmpType.Undecodable, null)] // constructed where a value belongs
    [InlineData("0500", SnmpType.Null, null)]
    [InlineData("8000", SnmpType.NoSuchObject, null)]
    [InlineData("8100", SnmpType.NoSuchInstance, null)]
    [InlineData("8200", SnmpType.EndOfMibView, null)]
    [InlineData("44079F780441200000", SnmpType.Opaque, null)] // a float inside, which is not looked at
    [InlineData("0403616263", SnmpType.OctetString, null)]
    public void Value_is_read_or_said_to_be_unreadable(string hex, SnmpType type, long? number)
    {
        SnmpValue value = Decode(hex);

        Assert.Equal(type, value.Type);
        Assert.Equal(number.HasValue, value.TryGetInt64(out long read));
        Assert.Equal(number ?? 0, read);
        Assert.NotEqual("", value.ToString());
    }

    [Fact]
    public void Counter64_above_the_signed_range_is_a_number_only_unsigned()
    {
        SnmpValue value = Decode("4608FFFFFFFFFFFFFFFE");

        Assert.False(value.TryGetInt64(out _));
        Assert.True(value.TryGetUInt64(out ulong number));
        Assert.Equal(ulong.MaxValue - 1, number);
        Assert.Equal("Counter64 18446744073709551614", value.ToString());
    }

    [Fact]
    public void Text_loses_trailing_nuls_and_nothing_else()
    {
        Assert.True(Decode("040661620A630000").TryGetText(out string text));
        Assert.Equal("ab\nc", text);
        Assert.False(Decode("0402C328").TryGetText(out _));
        Assert.Equal("OctetString 0xC328", Decode("0402C328").ToString());
    }

    [Fact]
    public void One_unreadable_value_does_not_lose_the_others()
    {
        byte[] list = Convert.FromHexString("300906032B0601" + "41020102" + "300906032B0602" + "0802FFFF" + "300806032B0603" + "020107");

        Assert.True(VarBindReader.TryDecode(list, 0, list.Length, out VarBind[] varBinds));
        Assert.Equal([SnmpType.Counter32, SnmpType.Undecodable, SnmpType.Integer32], varBinds.Select(v => v.Value.Type));
    }

    [Theory]
    [InlineData("300706042B06018005")] // name not ended
    [InlineData("3009060480060105020105")] // name padded
    [InlineData("3003020105")] // no name
    [InlineData("300506032B0601")] // no value
    [InlineData("040100")] // no binding
    public void List_that_is_no_list_is_refused(string hex)
    {
        byte[] list = Convert.FromHexString(hex);

        Assert.False(VarBindReader.TryDecode(list, 0, list.Length, out _));
    }

    [Fact]
    public void More_bindings_than_the_bound_are_refused_before_they_are_decoded()
    {
        byte[] one = Convert.FromHexString("300706032B06010500");
        byte[] many = [.. Enumerable.Repeat(one, VarBindReader.MaxVarBinds + 1).SelectMany(bytes => bytes)];

        Assert.True(VarBindReader.TryDecode(many, 0, many.Length - one.Length, out VarBind[] most));
        Assert.Equal(VarBindReader.MaxVarBinds, most.Length);
        Assert.False(VarBindReader.TryDecode(many, 0, many.Length, out _));
    }

    [Fact]
    public void List_costs_one_array_whatever_its_length()
    {
        byte[] one = Convert.FromHexString("300806032B0601420102");
        byte[] list = [.. Enumerable.Repeat(one, 64).SelectMany(bytes => bytes)];
        VarBindReader.TryDecode(list, 0, list.Length, out VarBind[] varBinds);
        long before = GC.GetAllocatedBytesForCurrentThread();

        VarBindReader.TryDecode(list, 0, list.Length, out varBinds);

        long perBinding = (GC.GetAllocatedBytesForCurrentThread() - before) / varBinds.Length;
        Assert.InRange(perBinding, 1, System.Runtime.CompilerServices.Unsafe.SizeOf<VarBind>() + 8);
    }
}
