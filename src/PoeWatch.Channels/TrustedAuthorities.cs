using System.Net.Security;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;

namespace PoeWatch.Channels;

/// <summary>Which certificates of receivers are believed: those of the system's authorities, or of an operator's own. Pure but for reading the file.</summary>
internal static class TrustedAuthorities
{
    /// <summary>The check for authorities of one's own; null for the system's.</summary>
    /// <exception cref="ChannelSettingsException">The file cannot be read.</exception>
    public static RemoteCertificateValidationCallback? Of(string? caFile)
    {
        if (caFile is null)
        {
            return null;
        }

        var authorities = new X509Certificate2Collection();
        try
        {
            authorities.ImportFromPemFile(caFile);
        }
        catch (Exception unusable) when (unusable is CryptographicException or IOException or UnauthorizedAccessException)
        {
            throw new ChannelSettingsException($"caFile: '{caFile}' cannot be used: {unusable.Message} Give a PEM file with the authority's certificate.", unusable);
        }

        return authorities.Count > 0
            ? (_, certificate, chain, errors) => IsFrom(authorities, certificate, chain, errors)
            : throw new ChannelSettingsException($"caFile: '{caFile}' holds no certificate. Give a PEM file with the authority's certificate.");
    }

    // Only the unknown root is forgiven, and only where the chain ends in an authority of the file: never a wrong name or a certificate out of its time.
    private static bool IsFrom(X509Certificate2Collection authorities, X509Certificate? certificate, X509Chain? sent, SslPolicyErrors errors)
    {
        if (certificate is null || (errors & ~SslPolicyErrors.RemoteCertificateChainErrors) != SslPolicyErrors.None)
        {
            return false;
        }

        using var chain = new X509Chain();
        chain.ChainPolicy.TrustMode = X509ChainTrustMode.CustomRootTrust;
        chain.ChainPolicy.CustomTrustStore.AddRange(authorities);
        chain.ChainPolicy.RevocationMode = X509RevocationMode.NoCheck;
        if (sent is not null)
        {
            chain.ChainPolicy.ExtraStore.AddRange(sent.ChainPolicy.ExtraStore);
        }

        using var shown = new X509Certificate2(certificate);
        return chain.Build(shown);
    }
}
