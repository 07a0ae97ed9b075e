using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Tests.Codec;

/// <summary>Source of the values: RFC 3720 (iSCSI), appendix B.4, examples of CRC-32C over 32 bytes; its byte order is low byte first.</summary>
public sealed class CheckSumTests
{
    [Fact]
    public void Zeros_ones_rising_and_falling_bytes_give_the_published_sums()
    {
        var rising = Enumerable.Range(0, 32).Select(n => (byte)n).ToArray();

        Assert.Equal(0x8A9136AAu, CheckSum.Of(new byte[32], uint.MaxValue));
        Assert.Equal(0x62A8AB43u, CheckSum.Of(Enumerable.Repeat((byte)0xFF, 32).ToArray(), uint.MaxValue));
        Assert.Equal(0x46DD794Eu, CheckSum.Of(rising, uint.MaxValue));
        Assert.Equal(0x113FDB5Cu, CheckSum.Of([.. rising.Reverse()], uint.MaxValue));
    }
}
