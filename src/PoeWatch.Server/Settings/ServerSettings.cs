using System.ComponentModel.DataAnnotations;
using PoeWatch.Monitoring.Alarming;
using PoeWatch.Monitoring.Ingestion;
using PoeWatch.Monitoring.Notices;
using PoeWatch.Monitoring.Notifications;
using PoeWatch.Monitoring.Polling;
using PoeWatch.Monitoring.Sealing;

namespace PoeWatch.Server.Settings;

/// <summary>
/// All settings of the service: from the JSON file that <c>--settings</c> names, then from environment variables that begin with
/// <c>POEWATCH_</c> (<c>POEWATCH_store__postgresFile</c>). An unknown setting refuses the start.
/// </summary>
public sealed class ServerSettings
{
    /// <summary>Path of the design file; <c>--design</c> stands above it.</summary>
    /// <value>A path; none by default.</value>
    public string? Design { get; set; }

    /// <summary>Folder with the types that a design names without describing them.</summary>
    /// <value>A path; the folder device-types beside the program by default.</value>
    public string? DeviceTypesFolder { get; set; }

    /// <summary>Folder for the embedded store and its lock.</summary>
    /// <value>A path; the user's own data folder by default.</value>
    public string? DataFolder { get; set; }

    /// <summary>Folder of draw sheets of one's own; one replaces a shipped sheet of the same name, and all stand above the shipped ones.</summary>
    /// <value>A path; none by default.</value>
    public string? DrawSheetFolder { get; set; }

    public StoreSettings Store { get; set; } = new();

    public ListenSettings Listen { get; set; } = new();

    /// <summary>Secrets by the names that designs use.</summary>
    public Dictionary<string, CredentialSettings> Credentials { get; set; } = new(StringComparer.Ordinal);

    public PollingOptions Polling { get; set; } = new();

    public NotificationOptions Notifications { get; set; } = new();

    public AlarmOptions Alarms { get; set; } = new();

    public NoticeOptions Notices { get; set; } = new();

    public KeeperOptions Keeper { get; set; } = new();

    public EvidenceOptions Evidence { get; set; } = new();

    public HistoryOptions History { get; set; } = new();

    public TelemetrySettings Telemetry { get; set; } = new();

    public LogSettings Log { get; set; } = new();
}

/// <summary>Which store keeps the history. Neither set: SQLite in the data folder.</summary>
public sealed class StoreSettings
{
    /// <summary>Npgsql connection string. It may hold a password, so prefer <see cref="PostgresFile"/>.</summary>
    /// <value>A connection string; none by default.</value>
    public string? Postgres { get; set; }

    /// <summary>File that holds the Npgsql connection string.</summary>
    /// <value>A path; none by default.</value>
    public string? PostgresFile { get; set; }
}

/// <summary>Where the API and the dashboard listen and who may use them.</summary>
public sealed class ListenSettings
{
    /// <summary>Address to listen on.</summary>
    /// <value>An IP address or localhost; 127.0.0.1 by default. Anything but loopback needs a key and TLS.</value>
    public string Address { get; set; } = "127.0.0.1";

    /// <summary>TCP port to listen on.</summary>
    /// <value>0 to 65535; 8460 by default; 0 takes any free port.</value>
    public int Port { get; set; } = 8460;

    /// <summary>States that a proxy in front of the service provides TLS.</summary>
    /// <value>true or false; false by default.</value>
    public bool BehindTlsProxy { get; set; }

    /// <summary>Certificate with its key (PKCS #12, or PEM with both in one file) for TLS in the service itself.</summary>
    /// <value>A path; none by default.</value>
    public string? CertificateFile { get; set; }

    /// <summary>DNS names under which the service may be called, besides IP addresses and localhost.</summary>
    /// <value>DNS names; none by default.</value>
    public IList<string> ServedNames { get; set; } = [];

    /// <summary>Keys, hashed; <c>poewatch key</c> makes one.</summary>
    public IList<KeySettings> Keys { get; set; } = [];
}

/// <summary>One key of the API: whose it is, what it allows, and its hash.</summary>
public sealed class KeySettings
{
    /// <summary>Name of the person or program; it stands beside every action.</summary>
    [Required]
    public string Name { get; set; } = string.Empty;

    /// <summary>What the key allows.</summary>
    /// <value>reader, operator (also acknowledges alarms) or designer (also changes the design); reader by default.</value>
    public string Role { get; set; } = "reader";

    /// <summary>The hash that <c>poewatch key</c> printed; never the key.</summary>
    [Required]
    public string Hash { get; set; } = string.Empty;
}

/// <summary>Secrets for one name of a design. Each secret may stand here or in a file of its own (preferred).</summary>
public sealed class CredentialSettings
{
    /// <summary>SNMP version.</summary>
    /// <value>v2c or v3; v2c by default.</value>
    public string Version { get; set; } = "v2c";

    public string? Community { get; set; }

    public string? CommunityFile { get; set; }

    public string? User { get; set; }

    /// <summary>Authentication protocol of the user.</summary>
    /// <value>none, sha1, sha224, sha256, sha384, sha512, or md5 with <see cref="AllowWeak"/>; none by default.</value>
    public string Auth { get; set; } = "none";

    public string? AuthPassphrase { get; set; }

    public string? AuthPassphraseFile { get; set; }

    /// <summary>Privacy protocol of the user.</summary>
    /// <value>none, aes128, aes192, aes256 (key extension of most devices), aes192-blumenthal, aes256-blumenthal, or des with <see cref="AllowWeak"/>; none by default.</value>
    public string Privacy { get; set; } = "none";

    public string? PrivacyPassphrase { get; set; }

    public string? PrivacyPassphraseFile { get; set; }

    public string Context { get; set; } = string.Empty;

    /// <summary>Consent to MD5 and DES, which are broken.</summary>
    /// <value>true or false; false by default.</value>
    public bool AllowWeak { get; set; }
}

/// <summary>Where the service's own figures go.</summary>
public sealed class TelemetrySettings
{
    /// <summary>OTLP receiver for traces and metrics.</summary>
    /// <value>A URL; none by default.</value>
    public string? OtlpEndpoint { get; set; }
}

/// <summary>What is logged.</summary>
public sealed class LogSettings
{
    /// <summary>Least level that is logged.</summary>
    /// <value>Verbose, Debug, Information, Warning, Error or Fatal; Information by default.</value>
    public string Level { get; set; } = "Information";

    /// <summary>File for logs as JSON lines, besides the console; a new one each day, 14 kept.</summary>
    /// <value>A path; none by default.</value>
    public string? File { get; set; }
}
