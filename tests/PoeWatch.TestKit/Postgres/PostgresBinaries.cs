using System.Diagnostics;
using System.Globalization;

namespace PoeWatch.TestKit.Postgres;

/// <summary>Where PostgreSQL's server programs lie on this machine.</summary>
public static class PostgresBinaries
{
    /// <summary>The folder of initdb, pg_ctl and postgres: what pg_config says, else Debian's place (newest version first), else PATH; null where there is none.</summary>
    public static string? FindFolder() => Candidates().FirstOrDefault(IsComplete);

    private static IEnumerable<string> Candidates()
    {
        if (PgConfigFolder() is { } configured)
        {
            yield return configured;
        }

        const string Debian = "/usr/lib/postgresql";
        if (Directory.Exists(Debian))
        {
            foreach (var version in Directory.GetDirectories(Debian).OrderByDescending(VersionOf))
            {
                yield return Path.Combine(version, "bin");
            }
        }

        foreach (var folder in PathFolders())
        {
            yield return folder;
        }
    }

    private static string[] PathFolders() =>
        (Environment.GetEnvironmentVariable("PATH") ?? "").Split(Path.PathSeparator, StringSplitOptions.RemoveEmptyEntries);

    private static string? PgConfigFolder()
    {
        if (!PathFolders().Any(f => File.Exists(Path.Combine(f, Program("pg_config")))))
        {
            return null;
        }

        using var process = Process.Start(new ProcessStartInfo("pg_config", ["--bindir"]) { RedirectStandardOutput = true })!;
        var folder = process.StandardOutput.ReadToEnd().Trim();
        process.WaitForExit();
        return process.ExitCode == 0 ? folder : null;
    }

    private static bool IsComplete(string folder) =>
        new[] { "initdb", "pg_ctl", "postgres" }.All(name => File.Exists(Path.Combine(folder, Program(name))));

    private static string Program(string name) => OperatingSystem.IsWindows() ? name + ".exe" : name;

    private static int VersionOf(string folder) =>
        int.TryParse(Path.GetFileName(folder), NumberStyles.None, CultureInfo.InvariantCulture, out var version) ? version : 0;
}
