using System.Runtime.CompilerServices;
using PoeWatch.Domain.Design;

namespace PoeWatch.DesignFiles.Tests;

/// <summary>The design files that the project ships, found beside the sources.</summary>
internal static class Examples
{
    public static string ConfigFolder { get; } = Path.GetFullPath(Path.Combine(Here(), "..", "..", "config"));

    public static LoadedDesign Load(string name) => DesignFile.Load(Path.Combine(ConfigFolder, name));

    public static DesignModel Valid(string name)
    {
        var loaded = Load(name);
        Assert.True(loaded.Result.Model is not null, DesignProblemText.Format(name, loaded.Result));
        return loaded.Result.Model;
    }

    private static string Here([CallerFilePath] string path = "") => Path.GetDirectoryName(path)!;
}
