using System.Security.Cryptography;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Sealing;

/// <summary>Signs with ECDSA on P-256 and SHA-256 of System.Security.Cryptography. Thread safe.</summary>
public sealed class EvidenceSigner : IEvidenceSigner, IDisposable
{
    private readonly Lock _gate = new();
    private readonly ECDsa? _key;

    private EvidenceSigner(ECDsa? key)
    {
        _key = key;
        KeyId = key is null ? string.Empty : KeyIdOf(key);
    }

    /// <summary>Signs nothing.</summary>
    public static EvidenceSigner None { get; } = new(null);

    public string KeyId { get; }

    /// <summary>What a key is known by: SHA-256 of its SubjectPublicKeyInfo, hex.</summary>
    public static string KeyIdOf(ECDsa key) => Convert.ToHexStringLower(SHA256.HashData(key.ExportSubjectPublicKeyInfo()));

    /// <summary>Takes a private key in PEM; null, with the reason, where it is none of ECDSA on P-256.</summary>
    public static EvidenceSigner? TryTake(string pem, out string problem)
    {
        ECDsa? key = ReadKey(pem, out problem);
        if (key is null)
        {
            return null;
        }

        try
        {
            key.SignData([], HashAlgorithmName.SHA256);
            return new EvidenceSigner(key);
        }
        catch (CryptographicException)
        {
            problem = "it holds a public key only";
            key.Dispose();
            return null;
        }
    }

    /// <summary>Reads a key in PEM, private or public; null, with the reason, where it is none of ECDSA on P-256.</summary>
    public static ECDsa? ReadKey(string pem, out string problem)
    {
        var key = ECDsa.Create();
        try
        {
            key.ImportFromPem(pem);
            if (key.ExportParameters(false).Curve.Oid is { Value: "1.2.840.10045.3.1.7" } or { FriendlyName: "nistP256" or "ECDSA_P256" })
            {
                problem = string.Empty;
                return key;
            }

            problem = "its curve is not P-256";
        }
        catch (Exception unreadable) when (unreadable is ArgumentException or CryptographicException)
        {
            problem = "it holds no ECDSA key in PEM";
        }

        key.Dispose();
        return null;
    }

    public byte[]? Sign(ReadOnlySpan<byte> data)
    {
        lock (_gate)
        {
            return _key?.SignData(data, HashAlgorithmName.SHA256, DSASignatureFormat.Rfc3279DerSequence);
        }
    }

    public void Dispose() => _key?.Dispose();
}
