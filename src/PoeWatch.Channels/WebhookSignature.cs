using System.Globalization;
using System.Security.Cryptography;
using System.Text;

namespace PoeWatch.Channels;

/// <summary>How bodies of webhooks are signed: HMAC-SHA256 (RFC 2104, FIPS 180-4) over the time of sending, a full stop and the body. Pure.</summary>
public static class WebhookSignature
{
    /// <summary>Header with the time of sending, in seconds since 1970 UTC.</summary>
    public const string TimeHeader = "PoeWatch-Time";

    /// <summary>Header with the signature: <c>v1=</c> and 64 lower-case hexadecimal digits.</summary>
    public const string SignatureHeader = "PoeWatch-Signature";

    /// <summary>The value of <see cref="SignatureHeader"/>.</summary>
    public static string Of(string secret, long unixSeconds, ReadOnlySpan<byte> body)
    {
        byte[] head = Encoding.ASCII.GetBytes(unixSeconds.ToString(CultureInfo.InvariantCulture) + ".");
        using var hmac = IncrementalHash.CreateHMAC(HashAlgorithmName.SHA256, Encoding.UTF8.GetBytes(secret));
        hmac.AppendData(head);
        hmac.AppendData(body);
        return $"v1={Convert.ToHexStringLower(hmac.GetHashAndReset())}";
    }
}
