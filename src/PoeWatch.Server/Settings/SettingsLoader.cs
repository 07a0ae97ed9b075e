using System.ComponentModel.DataAnnotations;
using System.Text.Json;
using System.Text.RegularExpressions;
using PoeWatch.Domain.Alarms;

namespace PoeWatch.Server.Settings;

/// <summary>The settings are not usable; the message names the place, the value and the remedy.</summary>
public sealed class SettingsException : Exception
{
    public SettingsException()
    {
    }

    public SettingsException(string message)
        : base(message)
    {
    }

    public SettingsException(string message, Exception inner)
        : base(message, inner)
    {
    }
}

/// <summary>Reads settings from file and environment and checks them whole.</summary>
public static partial class SettingsLoader
{
    /// <summary>Environment variables that begin so are settings; two underscores stand for a level.</summary>
    public const string EnvironmentPrefix = "POEWATCH_";

    // Variables of ours that are not settings, so that strict reading does not refuse them.
    private static readonly string[] NotSettings = ["TEST_POSTGRES", "TEST_LIMIT_SECONDS", "EVIDENCE_RUNS", "EVIDENCE_SEED", "EVIDENCE_FILE"];

    /// <exception cref="SettingsException">A file is missing or broken, a setting is unknown or out of bounds.</exception>
    public static ServerSettings Load(string? file)
    {
        var settings = new ServerSettings();
        try
        {
            var builder = new ConfigurationBuilder();
            if (file is not null)
            {
                builder.AddJsonFile(Path.GetFullPath(file), optional: false, reloadOnChange: false);
            }

            builder.AddInMemoryCollection(FromEnvironment());
            builder.Build().Bind(settings, binder => binder.ErrorOnUnknownConfiguration = true);
        }
        catch (FileNotFoundException)
        {
            throw new SettingsException($"The settings file '{file}' is not there. Name an existing file with --settings.");
        }
        catch (InvalidDataException broken)
        {
            throw new SettingsException($"The settings file '{file}' is not valid JSON: {Place(broken)}", broken);
        }
        catch (InvalidOperationException unknown)
        {
            throw new SettingsException(
                $"{(file is null ? "A POEWATCH_ environment variable" : $"The settings file '{file}' or a POEWATCH_ environment variable")} holds a setting that is unknown or has a wrong form: {Reason(unknown)} "
                + "config/poewatch.sample.json lists all settings.",
                unknown);
        }

        Check(settings.Polling, "polling");
        Check(settings.Notifications, "notifications");
        if (settings.Notifications.Address is { } address && !System.Net.IPAddress.TryParse(address, out _))
        {
            throw new SettingsException($"notifications.address: '{address}' is no IP address. Write one of this machine, or 0.0.0.0 or :: for all of them.");
        }

        Check(settings.Keeper, "keeper");
        Check(settings.Evidence, "evidence");
        Check(settings.History, "history");
        Check(settings.Notices, "notices");
        Check(settings.Alarms, "alarms");
        foreach (var (name, type) in settings.Alarms.Types)
        {
            if (AlarmTypeTable.Find(name) is null)
            {
                throw new SettingsException($"alarms.types: there is no alarm type '{name}'. Write one of {string.Join(", ", AlarmTypeTable.All.Select(t => t.Name))}.");
            }

            Check(type, $"alarms:types:{name}");
        }

        foreach (KeySettings key in settings.Listen.Keys)
        {
            Check(key, "listen:keys");
        }

        return settings;
    }

    private static Dictionary<string, string?> FromEnvironment()
    {
        var found = new Dictionary<string, string?>(StringComparer.OrdinalIgnoreCase);
        foreach (System.Collections.DictionaryEntry variable in Environment.GetEnvironmentVariables())
        {
            var name = (string)variable.Key;
            if (name.StartsWith(EnvironmentPrefix, StringComparison.Ordinal)
                && !NotSettings.Contains(name[EnvironmentPrefix.Length..], StringComparer.Ordinal))
            {
                found[name[EnvironmentPrefix.Length..].Replace("__", ":", StringComparison.Ordinal)] = (string?)variable.Value;
            }
        }

        return found;
    }

    private static void Check(object part, string place)
    {
        var problems = new List<ValidationResult>();
        if (!Validator.TryValidateObject(part, new ValidationContext(part), problems, validateAllProperties: true))
        {
            throw new SettingsException($"Settings under '{place}': {string.Join(' ', problems.Select(p => p.ErrorMessage))}");
        }
    }

    private static string Place(Exception broken)
    {
        Exception root = broken.GetBaseException();
        return root is JsonException { LineNumber: { } line, BytePositionInLine: { } at }
            ? $"line {line + 1}, column {at + 1}: {root.Message.Split(" LineNumber:")[0].Split(" Path:")[0]}"
            : root.Message;
    }

    // The binder tells of its own options and types; what a reader needs of it are the place, the value and how to write it.
    private static string Reason(Exception e)
    {
        Match unknown = UnknownSetting().Match(e.Message);
        if (unknown.Success)
        {
            var group = unknown.Groups["type"].Value is nameof(ServerSettings)
                ? "the settings"
                : $"'{unknown.Groups["type"].Value.Replace("Settings", "", StringComparison.Ordinal).Replace("Options", "", StringComparison.Ordinal).ToLowerInvariant()}'";
            return $"{group} cannot have {unknown.Groups["names"].Value}.";
        }

        Match form = WrongForm().Match(e.Message);
        return !form.Success ? e.Message
            : $"'{form.Groups["place"].Value}' is '{form.Groups["value"].Value}'."
                + (form.Groups["type"].Value == typeof(TimeSpan).FullName ? " Write a time as hours:minutes:seconds, such as 00:00:05." : string.Empty);
    }

    [GeneratedRegex(@"not found on the instance of [\w.]*?(?<type>\w+): (?<names>.+)$", RegexOptions.Singleline)]
    private static partial Regex UnknownSetting();

    [GeneratedRegex(@"value '(?<value>.*)' at '(?<place>[^']*)' to type '(?<type>[^']*)'", RegexOptions.Singleline)]
    private static partial Regex WrongForm();
}
