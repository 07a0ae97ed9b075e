using PoeWatch.House.Tests.Support;

namespace PoeWatch.House.Tests.Structure;

/// <summary>The top level holds what a newcomer looks for, and nothing else.</summary>
public sealed class TopLevelTests
{
    private static readonly HashSet<string> Agreed =
    [
        ".ci", ".dockerignore", ".editorconfig", ".gitattributes", ".gitignore", "DEVELOPERS.md", "Dockerfile", "LICENSE", "PoeWatch.sln", "README.md",
        "config", "deploy", "docs", "src", "tests",
    ];

    [Fact]
    public void The_top_level_holds_only_the_agreed_names() => Rule.HoldsFor(
        Repository.AllFiles.Select(path => path.Split('/')[0]).Distinct().Where(name => !Agreed.Contains(name)),
        "Put it below one of the folders; tools that look upwards find it there too.");

    [Fact]
    public void Every_project_stands_in_the_solution()
    {
        var solution = Repository.Read("PoeWatch.sln").Replace('\\', '/');

        Rule.HoldsFor(
            Repository.AllFiles.Where(path => path.EndsWith(".csproj", StringComparison.Ordinal) && !solution.Contains(path, StringComparison.Ordinal)),
            "dotnet sln PoeWatch.sln add PATH");
    }
}
