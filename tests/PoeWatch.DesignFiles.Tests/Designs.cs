using System.Collections.Immutable;
using PoeWatch.Domain.Design;

namespace PoeWatch.DesignFiles.Tests;

/// <summary>Checks designs that a test writes as text.</summary>
internal static class Designs
{
    public static ImmutableArray<DesignProblem> Check(string text) => Load(text).Result.Problems;

    public static LoadedDesign Load(string text, params (string Name, string Text)[] files) => DesignFile.Parse(
        text,
        "site.yaml",
        name => files.Any(f => f.Name == name) ? new FoundText(files.First(f => f.Name == name).Text, "") : new FoundText(null, "no such file"));

    public static DesignProblem Only(string text, params (string Name, string Text)[] files)
    {
        var result = Load(text, files).Result;
        Assert.True(result.Problems.Length == 1, DesignProblemText.Format("site.yaml", result));
        return result.Problems[0];
    }
}
