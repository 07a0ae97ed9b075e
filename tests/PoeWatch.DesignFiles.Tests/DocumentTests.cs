using System.Runtime.CompilerServices;
using System.Text.RegularExpressions;
using PoeWatch.DesignFiles.Reading;

namespace PoeWatch.DesignFiles.Tests;

/// <summary>The document of the format names every key and exactly the codes that the code has.</summary>
public sealed partial class DocumentTests
{
    private static readonly string s_top = Path.GetFullPath(Path.Combine(Here(), "..", ".."));
    private static readonly string s_document = File.ReadAllText(Path.Combine(s_top, "docs", "design-files.md"));

    [Fact]
    public void Names_every_key()
    {
        var keys = DesignKeys.Sections.Values.SelectMany(k => k).Distinct();
        Assert.All(keys, key => Assert.Contains($"`{key}`", s_document, StringComparison.Ordinal));
    }

    [Fact]
    public void Shows_the_first_example_as_it_is() =>
        Assert.Contains(File.ReadAllText(Path.Combine(Examples.ConfigFolder, "examples", "first.yaml")), s_document, StringComparison.Ordinal);

    [Fact]
    public void Names_exactly_the_codes_that_the_code_has()
    {
        var sources = new[] { "src/PoeWatch.DesignFiles", "src/PoeWatch.Domain/Design" }
            .SelectMany(folder => Directory.EnumerateFiles(Path.Combine(s_top, folder), "*.cs", SearchOption.AllDirectories))
            .Where(path => !path.Contains($"{Path.DirectorySeparatorChar}obj{Path.DirectorySeparatorChar}", StringComparison.Ordinal))
            .Where(path => !path.Contains($"{Path.DirectorySeparatorChar}Sheets{Path.DirectorySeparatorChar}", StringComparison.Ordinal))
            .Select(File.ReadAllText);
        var codes = sources.SelectMany(text => CodeInSource().Matches(text)).Select(m => m.Groups.Values.Skip(1).First(g => g.Success).Value);
        var documented = CodeInDocument().Matches(s_document[s_document.IndexOf("## Codes of problems", StringComparison.Ordinal)..]).Select(m => m.Groups[1].Value);

        Assert.Equal(codes.Distinct().Order(StringComparer.Ordinal), documented.Order(StringComparer.Ordinal));
    }

    // A code is the first text after Error(, Warning(, Report( or the kind of a problem, or what CodeOf answers.
    [GeneratedRegex("""(?:Error|Warning|Report)\(\s*(?:key\.Name [^?]*\? )?"([a-z-]+)"|ProblemKind\.Error, "([a-z-]+)"|^\s+(?:LimitKind[^"]*|_?) => "([a-z]+-[a-z-]+)",$|: "(out-of-range)",""", RegexOptions.Multiline)]
    private static partial Regex CodeInSource();

    [GeneratedRegex("`([a-z-]+)`")]
    private static partial Regex CodeInDocument();

    private static string Here([CallerFilePath] string path = "") => Path.GetDirectoryName(path)!;
}
