using System.Security.Cryptography;
using System.Text;

namespace PoeWatch.Simulator.Agents;

/// <summary>The SNMP engine id of a simulated agent: RFC 3411 SnmpEngineID, made of the element's id.</summary>
internal static class EngineId
{
    /// <summary>RFC 3411: 27 octets are left behind enterprise and format.</summary>
    private const int MostOctets = 27;

    public static byte[] For(string elementId)
    {
        var text = Encoding.UTF8.GetBytes(elementId);
        // 0x80007ED9: RFC 5612's example enterprise 32473 with the top bit set. 4: text; 5: octets, where the text is too long.
        return text.Length <= MostOctets
            ? [0x80, 0x00, 0x7E, 0xD9, 4, .. text]
            : [0x80, 0x00, 0x7E, 0xD9, 5, .. SHA256.HashData(text).AsSpan(0, MostOctets)];
    }
}
