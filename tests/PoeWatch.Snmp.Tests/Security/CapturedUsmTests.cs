using PoeWatch.Snmp.Codec;
using PoeWatch.Snmp.Security;

namespace PoeWatch.Snmp.Tests.Security;

/// <summary>
/// v3 messages captured on loopback between Net-SNMP 5.9.3's snmpget and snmpd (authentication passphrase authpass99, privacy
/// passphrase privpass99): digests must hold and contents must decrypt to what snmpget printed.
/// </summary>
public sealed class CapturedUsmTests
{
    public static readonly TheoryData<string, AuthProtocol, PrivacyProtocol, uint, string> Responses = new()
    {
        {
            "u-sha-aes", AuthProtocol.Sha1, PrivacyProtocol.Aes128, 32136,
            "3081a502010330110204294fcf93020300ffe3040103020103043f303d041180001f888098f144645d24066b00000000020101020201410409752d736861"
            + "2d616573040c252f7fd2592cd26ef0b8e8b00408a54df0a8aba83ee1044c4b94ad7c81eb63dd61f375083772cc6678b91193f9ddeb566d5275584ced92"
            + "19235678d84c14f78e018a5c619aba067102027d1aa34c5cc0bd6f7cee5a3eea46c7bd77092805ff666760fec1"
        },
        {
            "u-sha256-aes", AuthProtocol.Sha256, PrivacyProtocol.Aes128, 32887,
            "3081b50201033011020411885fb0020300ffe3040103020103044e304c041180001f888098f144645d24066b0000000002010102020149040c752d736861"
            + "3235362d616573041874d0d9007f9ab935dd1c3cf130f2a490a8a76759434c78310408a54df0a8aba83ee2044d7db8e7c366c87a7f07ebeeaf93fa7790"
            + "78d08f80ab22fd31f0bfd985f15a0066b329d1a061606cf5af7530595db8e098b5eb040092d8ff82e11397d94c411b7610cdb501fcfe8c028e44090eff"
        },
        {
            "u-md5-des", AuthProtocol.Md5, PrivacyProtocol.Des, 33639,
            "3081a902010330110204321d2aa4020300ffe3040103020103043f303d041180001f888098f144645d24066b00000000020101020201500409752d6d6435"
            + "2d646573040c760e232cc59100f65a8ed8e70408000000017e02c61004501fe368281a18131d8ab9c9ce21ecf1d614419257ff48735eeb57be469b523f"
            + "4fa51669aadeade1c2884937d3e3a77c5acaec18e421fccaee7dcc42f811751deb7c468261432d8984412aa0042c8999ac"
        },
        {
            "u-sha-aes256", AuthProtocol.Sha1, PrivacyProtocol.Aes256Blumenthal, 34390,
            "3081a90201033011020449383fcf020300ffe304010302010304423040041180001f888098f144645d24066b0000000002010102020158040c752d736861"
            + "2d616573323536040c02d2dff326c5ecdb43d656120408a54df0a8aba83ee3044d7bb34ad3f36c09799f9e12dde37d27545e337f20e6e465c001f14442"
            + "fdf6f8b565823f8ee9960de3896684a5b6c1b3f192063851015e1ec19757cade4f48fa2e97a1c5b0b209c6bf8b72cc5c86"
        },
    };

    internal static UsmSession SessionOf(string user, AuthProtocol auth, PrivacyProtocol privacy) => new(
        new UsmCredentials(user, auth, "authpass99", privacy, "privpass99"),
        Convert.FromHexString("80001F888098F144645D24066B00000000"),
        new EngineClock(TimeProvider.System, 1, 321),
        new UserKeyCache());

    [Theory]
    [MemberData(nameof(Responses))]
    public void Another_implementations_message_holds_and_opens(
        string user, AuthProtocol auth, PrivacyProtocol privacy, uint sysUpTime, string hex)
    {
        UsmSession session = SessionOf(user, auth, privacy);
        byte[] datagram = Convert.FromHexString(hex);
        Assert.True(UsmMessage.TryRead(datagram, out UsmMessage message));

        Assert.True(UsmEnvelope.IsAuthentic(datagram, message, session));
        Assert.True(UsmEnvelope.TryOpen(datagram, message, session, out PduView pdu));

        byte[] list = pdu.VarBindList.ToArray();
        Assert.True(VarBindReader.TryDecode(list, 0, list.Length, out VarBind[] varBinds));
        Assert.Equal(new VarBind(Oid.Parse("1.3.6.1.2.1.1.3.0"), SnmpValue.TimeTicks(sysUpTime)), varBinds[0]);
        Assert.Equal(new VarBind(Oid.Parse("1.3.6.1.2.1.105.1.1.1.14.1.48"), SnmpValue.Counter32(48000)), varBinds[1]);
    }

    [Theory]
    [MemberData(nameof(Responses))]
    public void Any_flipped_bit_breaks_the_digest(
        string user, AuthProtocol auth, PrivacyProtocol privacy, uint sysUpTime, string hex)
    {
        Assert.NotEqual(0u, sysUpTime);
        UsmSession session = SessionOf(user, auth, privacy);
        byte[] original = Convert.FromHexString(hex);
        for (int bit = 0; bit < 8 * original.Length; bit++)
        {
            byte[] flipped = [.. original];
            flipped[bit / 8] ^= (byte)(1 << (bit % 8));

            bool believed = UsmMessage.TryRead(flipped, out UsmMessage message) && UsmEnvelope.IsAuthentic(flipped, message, session);
            Assert.False(believed, $"bit {bit}");
        }
    }

    [Fact]
    public void What_we_seal_opens_again_and_no_salt_comes_twice()
    {
        UsmSession session = SessionOf("u", AuthProtocol.Sha224, PrivacyProtocol.Aes192Reeder);
        BerWriter scoped = new(new byte[500]);
        new RequestBody(PduType.Get, [Oid.Parse("1.3.6.1.2.1.1.3.0")]).Write(ref scoped, 77);
        ScopedPdu.Frame(ref scoped, session.EngineId, "harbour"u8);
        HashSet<string> salts = [];
        for (int i = 0; i < 1000; i++)
        {
            Span<byte> sealed_ = UsmEnvelope.Seal(
                new byte[1000], session, 9, 1472, MessageFlags.Authenticated | MessageFlags.Encrypted, (1, 2), scoped.Written);
            Assert.True(UsmMessage.TryRead(sealed_, out UsmMessage message));
            Assert.True(salts.Add(Convert.ToHexString(message.Salt)));
            Assert.True(UsmEnvelope.IsAuthentic(sealed_, message, session));
            Assert.True(UsmEnvelope.TryOpen(sealed_, message, session, out PduView pdu));
            Assert.Equal(77, pdu.RequestId);
        }
    }
}
