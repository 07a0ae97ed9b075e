using System.CommandLine;
using PoeWatch.Server.Composition;
using PoeWatch.Server.Settings;

namespace PoeWatch.Server.Commands;

/// <summary>What the commands that work on a store without a service have in common.</summary>
internal static class HistoryFiles
{
    public static Option<string?> SettingsOption() => new("--settings") { Description = "Settings file (JSON), the one that the service has." };

    public static Option<string?> DataOption() => new("--data") { Description = "Folder of the embedded store." };

    public static ServerSettings Load(string? settings, string? data)
    {
        ServerSettings loaded = SettingsLoader.Load(settings);
        loaded.DataFolder = data ?? loaded.DataFolder;
        return loaded;
    }

    /// <exception cref="SettingsException">There is no file of the embedded store.</exception>
    public static string ExistingFile(ServerSettings settings)
    {
        var file = Stores.EmbeddedFile(settings);
        return File.Exists(file)
            ? file
            : throw new SettingsException($"There is no '{file}'. Name the folder that the service keeps its history in, with --data or as dataFolder in the settings.");
    }
}
