using System.Buffers.Text;
using System.Globalization;
using System.Security.Cryptography;
using System.Text;

namespace PoeWatch.Api.Access;

/// <summary>
/// Makes keys and checks them against their hash: PBKDF2 (RFC 8018) with HMAC-SHA-256 and a salt of its own. Keys are drawn by us with 256 bits,
/// so that the number of rounds only has to slow down a guesser of a leaked settings file, not to save a weak password. Pure but for the chance
/// that keys and salts are drawn from; thread safe.
/// </summary>
public static class HashedKey
{
    private const string Scheme = "pbkdf2-sha256";
    private const int Rounds = 100_000;
    private const int RoundsMax = 2_000_000;
    private const int SaltBytes = 16;
    private const int HashBytes = 32;
    private const int SecretBytes = 32;

    /// <summary>Draws a new key for a name and gives it with its hash. The key is shown once and never kept.</summary>
    public static (string Key, string Hash) Draw(string name)
    {
        if (!IsName(name))
        {
            throw new ArgumentException(
                $"'{name}' cannot name a key. Use 1 to 64 letters (a-z), digits, '-' and '_'.", nameof(name));
        }

        var key = $"{name}.{Base64Url.EncodeToString(RandomNumberGenerator.GetBytes(SecretBytes))}";
        return (key, Create(key));
    }

    /// <summary>Hash of a key, as the settings keep it: scheme, rounds, salt and hash between <c>$</c>.</summary>
    public static string Create(string key)
    {
        var salt = RandomNumberGenerator.GetBytes(SaltBytes);
        return string.Create(
            CultureInfo.InvariantCulture,
            $"{Scheme}${Rounds}${Convert.ToBase64String(salt)}${Convert.ToBase64String(Derive(key, salt, Rounds, HashBytes))}");
    }

    /// <summary>True where the key belongs to the hash; the comparison takes the same time wherever they differ.</summary>
    public static bool Matches(string key, string hash) =>
        TryParse(hash, out var rounds, out var salt, out var expected)
        && CryptographicOperations.FixedTimeEquals(Derive(key, salt, rounds, expected.Length), expected);

    /// <summary>True where the text has the form that <see cref="Create"/> writes.</summary>
    public static bool IsWellFormed(string hash) => TryParse(hash, out _, out _, out _);

    /// <summary>True where the text can name the holder of a key.</summary>
    public static bool IsName(string name) =>
        name.Length is >= 1 and <= 64 && name.All(c => char.IsAsciiLetterLower(c) || char.IsAsciiDigit(c) || c is '-' or '_');

    /// <summary>The name in front of a key; null where it has none.</summary>
    public static string? NameOf(string key)
    {
        var dot = key.IndexOf('.', StringComparison.Ordinal);
        return dot > 0 && IsName(key[..dot]) ? key[..dot] : null;
    }

    private static byte[] Derive(string key, byte[] salt, int rounds, int length) =>
        Rfc2898DeriveBytes.Pbkdf2(Encoding.UTF8.GetBytes(key), salt, rounds, HashAlgorithmName.SHA256, length);

    private static bool TryParse(string hash, out int rounds, out byte[] salt, out byte[] expected)
    {
        (rounds, salt, expected) = (0, [], []);
        var parts = hash.Split('$');
        if (parts.Length != 4 || parts[0] != Scheme
            || !int.TryParse(parts[1], NumberStyles.None, CultureInfo.InvariantCulture, out rounds) || rounds is < 1 or > RoundsMax)
        {
            return false;
        }

        try
        {
            (salt, expected) = (Convert.FromBase64String(parts[2]), Convert.FromBase64String(parts[3]));
        }
        catch (FormatException)
        {
            return false;
        }

        return salt.Length >= 8 && expected.Length is >= 16 and <= 64;
    }
}
