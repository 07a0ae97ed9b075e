using System.Diagnostics;

namespace PoeWatch.House.Tests.Support;

/// <summary>The repository that these tests were built from, as files and text.</summary>
internal static class Repository
{
    private static readonly Lazy<IReadOnlyList<string>> Files = new(ListTracked);

    /// <summary>Absolute path of the folder that holds PoeWatch.sln.</summary>
    public static string Root { get; } = FindRoot();

    /// <summary>Paths of all files that git knows or would add, relative to the root, with forward slashes.</summary>
    public static IReadOnlyList<string> AllFiles => Files.Value;

    /// <summary>Parsed C# files below src/ or tests/.</summary>
    public static IEnumerable<SourceFile> Sources(params string[] folders) =>
        AllFiles.Where(path => path.EndsWith(".cs", StringComparison.Ordinal))
            .Where(path => folders.Any(folder => path.StartsWith(folder + "/", StringComparison.Ordinal)))
            .Select(SourceFile.Load);

    public static string Read(string relativePath) => File.ReadAllText(Path.Combine(Root, relativePath));

    public static bool Exists(string relativePath)
    {
        var path = Path.Combine(Root, relativePath);
        return File.Exists(path) || Directory.Exists(path);
    }

    private static string FindRoot()
    {
        for (DirectoryInfo? folder = new(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
        {
            if (File.Exists(Path.Combine(folder.FullName, "PoeWatch.sln")))
            {
                return folder.FullName;
            }
        }

        throw new InvalidOperationException($"No PoeWatch.sln above {AppContext.BaseDirectory}: build the tests inside the repository.");
    }

    private static string[] ListTracked()
    {
        var start = new ProcessStartInfo("git", ["ls-files", "--cached", "--others", "--exclude-standard", "-z"])
        {
            WorkingDirectory = Root,
            RedirectStandardOutput = true,
        };
        using Process git = Process.Start(start)!;
        var output = git.StandardOutput.ReadToEnd();
        git.WaitForExit();
        Assert.Equal(0, git.ExitCode);
        return [.. output.Split('\0', StringSplitOptions.RemoveEmptyEntries).Where(path => File.Exists(Path.Combine(Root, path)))];
    }
}
