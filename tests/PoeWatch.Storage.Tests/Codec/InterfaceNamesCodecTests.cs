using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Tests.Codec;

public sealed class InterfaceNamesCodecTests
{
    [Fact]
    public void Names_come_back_for_whichever_element_asks()
    {
        var packed = InterfaceNamesCodec.Encode(SampleReadings.Names("quay-west", "Gi1/0", 48).SetItem(new PsePortRef("quay-west", 2, 1), ""));

        var names = InterfaceNamesCodec.Decode(packed, InterfaceNamesCodec.Hash(packed), "mole-head");

        Assert.Equal(49, names.Count);
        Assert.Equal("Gi1/0/7", names[new PsePortRef("mole-head", 1, 7)]);
        Assert.Equal("", names[new PsePortRef("mole-head", 2, 1)]);
    }

    [Fact]
    public void Equal_names_give_equal_bytes_whatever_order_they_were_added_in()
    {
        var names = SampleReadings.Names("quay-west", "Gi1/0", 48);
        var reversed = names.Reverse().Aggregate(names.Clear(), (all, n) => all.Add(n.Key, n.Value));

        Assert.Equal(InterfaceNamesCodec.Encode(names), InterfaceNamesCodec.Encode(reversed));
    }

    [Fact]
    public void A_changed_byte_is_found_out()
    {
        var packed = InterfaceNamesCodec.Encode(SampleReadings.Names("quay-west", "Gi1/0", 4));
        var hash = InterfaceNamesCodec.Hash(packed);
        packed[^1] ^= 1;

        var error = Assert.Throws<StoreException>(() => InterfaceNamesCodec.Decode(packed, hash, "quay-west"));

        Assert.Contains("quay-west", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Shortened_bytes_with_a_right_hash_are_refused()
    {
        var packed = InterfaceNamesCodec.Encode(SampleReadings.Names("quay-west", "Gi1/0", 4));
        for (var length = 0; length < packed.Length; length++)
        {
            var part = packed[..length];
            Assert.Throws<StoreException>(() => InterfaceNamesCodec.Decode(part, InterfaceNamesCodec.Hash(part), "quay-west"));
        }
    }
}
