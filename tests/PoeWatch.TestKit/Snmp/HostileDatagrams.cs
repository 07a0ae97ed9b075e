using PoeWatch.Snmp;
using PoeWatch.Snmp.Codec;

namespace PoeWatch.TestKit.Snmp;

/// <summary>What a hostile agent sends before its sound answer, made from that answer. Pure.</summary>
internal static class HostileDatagrams
{
    private static readonly Oid s_name = Oid.Parse("1.3.6.1.2.1.105.1.1.1.6.1.1");

    public static IEnumerable<byte[]> For(Hostility hostility, byte[] sound, RequestMessage request, IReadOnlyList<VarBind> varBinds) => hostility switch
    {
        Hostility.EveryTruncation => Enumerable.Range(1, sound.Length - 1).Select(length => sound[..length]),
        Hostility.NestedSequences => [Nested(65_000), Nested(1_000)],
        Hostility.LengthBombs => LengthBombs(sound),
        Hostility.TooManyVariables =>
            [ResponseEncoder.Encode(request.Community, request.RequestId, 0, 0, [.. Enumerable.Repeat(varBinds[0], VarBindReader.MaxVarBinds + 1).Select(Small)])],
        Hostility.WrongTypes => Enumerable.Range(0, 256).Select(tag => WithValue(request, [(byte)tag, 0x02, 0xFF, 0xFF])[..^1]),
        Hostility.ForbiddenLengths => [[0x30, 0x80, .. sound[2..], 0, 0], [0x30, 0xFF, .. new byte[127], .. sound[2..]]],
        Hostility.WrongIds => new[] { request.RequestId + 1, request.RequestId - 1, 0, -1, int.MinValue, int.MaxValue ^ request.RequestId }
            .Select(id => ResponseEncoder.Encode(request.Community, id, 0, 0, varBinds)),
        Hostility.ImpossibleNames => ImpossibleNames(request),
        Hostility.ForeignSource => [sound],
        Hostility.OtherVersions => [WithVersion(sound, 0), WithVersion(sound, 3)],
        _ => [],
    };

    private static VarBind Small(VarBind varBind, int index) => new(Oid.From(1, 3, (uint)(index % 100)), SnmpValue.Integer32(1));

    private static byte[] Nested(int bytes)
    {
        byte[] nested = new byte[bytes];
        for (int i = 0; i + 4 <= bytes; i += 4)
        {
            int rest = bytes - i - 4;
            (nested[i], nested[i + 1], nested[i + 2], nested[i + 3]) = (0x30, 0x82, (byte)(rest >> 8), (byte)rest);
        }

        return nested;
    }

    /// <summary>Each length octet of the head in turn declares two gigabytes.</summary>
    private static IEnumerable<byte[]> LengthBombs(byte[] sound) =>
        Enumerable.Range(1, Math.Min(60, sound.Length - 1)).Select(at => (byte[])[.. sound[..at], 0x84, 0x7F, 0xFF, 0xFF, 0xFF, .. sound[(at + 1)..]]);

    private static IEnumerable<byte[]> ImpossibleNames(RequestMessage request)
    {
        byte[][] names =
        [
            [],
            [0x80],
            [0x2B, 0x80, 0x01],
            [0x2B, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0x7F],
            [0x2B, .. Enumerable.Repeat((byte)1, 129)],
            [0x2B, 0x06, 0x81],
        ];
        return names.Select(name => WithVariable(request, name, [0x02, 0x01, 0x01]));
    }

    private static byte[] WithValue(RequestMessage request, byte[] value) => WithVariable(request, s_name.Encoded.ToArray(), value);

    private static byte[] WithVariable(RequestMessage request, byte[] name, byte[] value)
    {
        BerWriter writer = new(new byte[1000]);
        writer.WriteRaw(value);
        writer.WriteOctets(BerTag.ObjectIdentifier, name);
        writer.Wrap(BerTag.Sequence, 0);
        writer.Wrap(BerTag.Sequence, 0);
        writer.WriteInteger(0);
        writer.WriteInteger(0);
        writer.WriteInteger(request.RequestId);
        writer.Wrap((byte)PduType.Response, 0);
        CommunityMessage.Frame(ref writer, System.Text.Encoding.UTF8.GetBytes(request.Community));
        return writer.Written.ToArray();
    }

    /// <summary>The version stands behind the outer header, which has two or more bytes.</summary>
    private static byte[] WithVersion(byte[] sound, byte version)
    {
        byte[] other = [.. sound];
        int at = sound[1] < 0x80 ? 2 : 2 + (sound[1] & 0x7F);
        other[at + 2] = version;
        return other;
    }
}
