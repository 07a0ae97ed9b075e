using System.Globalization;
using System.Security.Cryptography;
using PoeWatch.Server.Settings;
using PoeWatch.Snmp.Notifications;

namespace PoeWatch.Server.Composition;

/// <summary>
/// Keeps who we are to agents that send informs: an engine id drawn once, and how often we started (RFC 3414 section 2.2: boots must rise, else old
/// messages could pass again). A file of two lines in the data folder.
/// </summary>
public static class NotificationEngineFile
{
    private const string FileName = "notification-engine";

    // RFC 3411 SnmpEngineID: first bit set, enterprise number 0 (reserved: there is none of our own), then format 5, octets of the maker's choice.
    private static readonly byte[] s_prefix = [0x80, 0, 0, 0, 5];

    /// <summary>Counts a start and returns the identity.</summary>
    /// <exception cref="SettingsException">The file cannot be read or written.</exception>
    public static EngineIdentity Start(string dataFolder)
    {
        var path = Path.Combine(dataFolder, FileName);
        try
        {
            Directory.CreateDirectory(dataFolder);
            (byte[] id, var boots) = File.Exists(path) ? Read(path) : ([.. s_prefix, .. RandomNumberGenerator.GetBytes(12)], 0);
            if (boots == int.MaxValue)
            {
                throw new SettingsException($"'{path}' has counted all starts that SNMPv3 can count. Delete it: a new engine id is drawn, which senders of informs have to learn.");
            }

            boots++;
            var written = path + ".new";
            File.WriteAllLines(written, [Convert.ToHexString(id), boots.ToString(CultureInfo.InvariantCulture)]);
            File.Move(written, path, overwrite: true);
            return new EngineIdentity(id, boots);
        }
        catch (Exception unusable) when (unusable is IOException or UnauthorizedAccessException)
        {
            throw new SettingsException($"'{path}' cannot be read or written: {unusable.Message} It keeps who the service is to senders of informs. Correct its rights, or remove notifications.address.", unusable);
        }
    }

    private static (byte[] Id, int Boots) Read(string path)
    {
        string[] lines = File.ReadAllLines(path);
        try
        {
            byte[] id = Convert.FromHexString(lines[0].Trim());
            var boots = int.Parse(lines[1], NumberStyles.None, CultureInfo.InvariantCulture);
            return id.Length is >= 5 and <= 32 ? (id, boots) : throw new FormatException("An engine id has 5 to 32 octets.");
        }
        catch (Exception wrong) when (wrong is FormatException or IndexOutOfRangeException or OverflowException)
        {
            throw new SettingsException($"'{path}' should hold an engine id in hexadecimal and a count of starts, one a line: {wrong.Message} Delete it: a new engine id is drawn, which senders of informs have to learn.", wrong);
        }
    }
}
