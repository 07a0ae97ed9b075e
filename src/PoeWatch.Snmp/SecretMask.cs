namespace PoeWatch.Snmp;

/// <summary>Takes secrets out of octets that are written somewhere: an agent may repeat what it was asked with. Thread safe.</summary>
public static class SecretMask
{
    // A shorter one would be found by chance in half of all values, and hides nothing.
    private const int LengthMin = 4;

    /// <summary>Overwrites the community or the passphrases with asterisks wherever they stand.</summary>
    /// <returns>True where something was overwritten.</returns>
    public static bool Apply(SnmpCredentials credentials, Span<byte> octets) => credentials switch
    {
        CommunityCredentials community => Mask(octets, community.Community),
        UsmCredentials user => Mask(octets, user.AuthPassphrase) | Mask(octets, user.PrivacyPassphrase),
        _ => false,
    };

    private static bool Mask(Span<byte> octets, ReadOnlySpan<byte> secret)
    {
        if (secret.IsEmpty || (secret.Length < LengthMin && !octets.SequenceEqual(secret)))
        {
            return false;
        }

        var isFound = false;
        for (int at = octets.IndexOf(secret); at >= 0; at = octets.IndexOf(secret))
        {
            octets.Slice(at, secret.Length).Fill((byte)'*');
            isFound = true;
            if (secret.IndexOfAnyExcept((byte)'*') < 0)
            {
                break;
            }
        }

        return isFound;
    }
}
