using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Snmp;

namespace PoeWatch.Server.Settings;

/// <summary>
/// Finds credentials by name in the settings and the secret files they name. Files are looked at again after ten seconds, so that a
/// changed passphrase is used without a restart. Thread safe; never prints a secret.
/// </summary>
public sealed class CredentialStore(IReadOnlyDictionary<string, CredentialSettings> settings, TimeProvider time) : ICredentialSource
{
    private static readonly TimeSpan LookAgain = TimeSpan.FromSeconds(10);

    private readonly Lock _gate = new();
    private readonly Dictionary<string, (SnmpCredentials? Found, string Problem, long ReadAt)> _known = new(StringComparer.Ordinal);

    public SnmpCredentials? Find(string name, out string problem)
    {
        lock (_gate)
        {
            if (!_known.TryGetValue(name, out var known) || time.GetElapsedTime(known.ReadAt) > LookAgain)
            {
                SnmpCredentials? found = Read(name, out var trouble);
                _known[name] = known = (found, trouble, time.GetTimestamp());
            }

            problem = known.Problem;
            return known.Found;
        }
    }

    private SnmpCredentials? Read(string name, out string problem)
    {
        if (!settings.TryGetValue(name, out CredentialSettings? setting))
        {
            problem = $"The settings have no credentials '{name}', which the design, --credentials or a list of addresses names. Add them to the settings file under credentials, or set POEWATCH_credentials__{name}__community.";
            return null;
        }

        try
        {
            problem = string.Empty;
            return setting.Version switch
            {
                "v2c" => new CommunityCredentials(Secret(setting.Community, setting.CommunityFile, name, "community")
                    ?? throw new ArgumentException("v2c needs 'community' or 'communityFile'.")),
                "v3" => User(setting, name),
                _ => throw new ArgumentException($"'version' is '{setting.Version}'; it must be v2c or v3."),
            };
        }
        catch (Exception wrong) when (wrong is ArgumentException or IOException or UnauthorizedAccessException)
        {
            problem = $"The credentials '{name}' cannot be used: {wrong.Message}";
            return null;
        }
    }

    private static UsmCredentials User(CredentialSettings setting, string name) => new(
        setting.User ?? throw new ArgumentException("v3 needs 'user'."),
        CredentialNames.Auth(setting.Auth, setting.AllowWeak),
        Secret(setting.AuthPassphrase, setting.AuthPassphraseFile, name, "authPassphrase"),
        CredentialNames.Privacy(setting.Privacy, setting.AllowWeak),
        Secret(setting.PrivacyPassphrase, setting.PrivacyPassphraseFile, name, "privacyPassphrase"),
        setting.Context);

    private static string? Secret(string? written, string? file, string name, string what)
    {
        if (written is not null && file is not null)
        {
            throw new ArgumentException($"'{what}' and '{what}File' are both set for '{name}'. Keep one.");
        }

        // Editors end files with a line feed that is no part of the secret.
        return file is null ? written : File.ReadAllText(file).TrimEnd('\r', '\n');
    }
}
