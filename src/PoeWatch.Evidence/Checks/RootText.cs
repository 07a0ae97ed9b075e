using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using PoeWatch.Domain.Evidence.Seals;

namespace PoeWatch.Evidence.Checks;

/// <summary>A day's root as its signed text says it. Immutable.</summary>
internal sealed record RootText(DateOnly Day, long Size, Digest Root)
{
    /// <summary>Reads the five lines of a root and nothing else.</summary>
    public static RootText? Of(string text)
    {
        var lines = text.Split('\n');
        return lines is ["poewatch-root/1", var day, var size, var root, var at, ""]
            && day.StartsWith("day ", StringComparison.Ordinal)
            && DateOnly.TryParseExact(day[4..], "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var date)
            && size.StartsWith("size ", StringComparison.Ordinal)
            && long.TryParse(size[5..], NumberStyles.None, CultureInfo.InvariantCulture, out var count)
            && root.StartsWith("root ", StringComparison.Ordinal)
            && Digest.TryParse(root[5..], out var digest)
            && at.StartsWith("at ", StringComparison.Ordinal)
            && EvidenceTime.TryRead(at[3..], out _)
                ? new RootText(date, count, digest)
                : null;
    }

    /// <summary>Whether a signature in base64 fits a text.</summary>
    public static bool IsSigned(string text, string signature, ECDsa key)
    {
        var bytes = new byte[signature.Length];
        return Convert.TryFromBase64String(signature, bytes, out var length)
            && key.VerifyData(Encoding.UTF8.GetBytes(text), bytes[..length], HashAlgorithmName.SHA256, DSASignatureFormat.Rfc3279DerSequence);
    }
}
