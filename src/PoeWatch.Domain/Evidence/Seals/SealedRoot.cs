using System.Globalization;

namespace PoeWatch.Domain.Evidence.Seals;

/// <summary>The root of the tree when the last quarter-hour of a day was sealed: what leaves the machine each day. Immutable.</summary>
/// <param name="Day">Day of UTC.</param>
/// <param name="Size">Leaves in the tree then.</param>
/// <param name="At">When it was taken, UTC, whole microseconds.</param>
/// <param name="KeyId">SHA-256 of the public key (SubjectPublicKeyInfo), hex; empty where it is not signed.</param>
/// <param name="Signature">ECDSA P-256 with SHA-256 over <see cref="Text"/> in UTF-8, DER, as base64; empty where it is not signed.</param>
public sealed record SealedRoot(DateOnly Day, long Size, Digest Root, DateTimeOffset At, string KeyId, string Signature)
{
    public bool IsSigned => Signature.Length > 0;

    /// <summary>What is signed: five lines that end with a line feed.</summary>
    public string Text => string.Create(
        CultureInfo.InvariantCulture,
        $"poewatch-root/1\nday {Day:yyyy-MM-dd}\nsize {Size}\nroot {Root}\nat {EvidenceTime.Write(SealInterval.MicrosecondsOf(At))}\n");
}

/// <summary>The one way in which times are written in evidence: RFC 3339, UTC, six decimals. Pure and thread safe.</summary>
public static class EvidenceTime
{
    private const string Format = "yyyy-MM-dd'T'HH:mm:ss.ffffff'Z'";

    public static string Write(long microseconds) => SealInterval.TimeOf(microseconds).UtcDateTime.ToString(Format, CultureInfo.InvariantCulture);

    public static string Write(DateTimeOffset time) => Write(SealInterval.MicrosecondsOf(time));

    /// <summary>Reads what <see cref="Write(long)"/> wrote and nothing else.</summary>
    public static bool TryRead(string text, out long microseconds)
    {
        var isTime = DateTimeOffset.TryParseExact(
            text, Format, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal | DateTimeStyles.AdjustToUniversal, out var time);
        microseconds = isTime ? SealInterval.MicrosecondsOf(time) : 0;
        return isTime;
    }
}
