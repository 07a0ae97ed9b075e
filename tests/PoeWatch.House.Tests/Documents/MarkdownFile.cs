using System.Text.RegularExpressions;
using PoeWatch.House.Tests.Support;

namespace PoeWatch.House.Tests.Documents;

/// <summary>One Markdown file: its links and the commands it tells a reader to type.</summary>
internal sealed partial record MarkdownFile(string Path, string Text)
{
    public static IEnumerable<MarkdownFile> All =>
        Repository.AllFiles.Where(path => path.EndsWith(".md", StringComparison.Ordinal)).Select(path => new MarkdownFile(path, Repository.Read(path)));

    public static MarkdownFile Load(string path) => new(path, Repository.Read(path));

    /// <summary>Targets of links and pictures that stand in this repository, without their fragment.</summary>
    public IEnumerable<string> RelativeLinks => Link().Matches(WithoutCode)
        .Select(match => match.Groups["target"].Value.Split('#')[0])
        .Where(target => target.Length > 0 && !target.Contains("://", StringComparison.Ordinal) && !target.StartsWith("mailto:", StringComparison.Ordinal));

    /// <summary>Lines of the fenced blocks marked <c>sh</c> that are commands: no comments, continued lines joined.</summary>
    public IEnumerable<string> Commands => ShellBlock().Matches(Text)
        .SelectMany(match => match.Groups["body"].Value.Replace("\\\n", "", StringComparison.Ordinal).Split('\n'))
        .Select(line => line.Split(" #")[0].Trim())
        .Where(line => line.Length > 0 && !line.StartsWith('#'));

    /// <summary>First cells, in backticks, of the rows of all tables, with the whole row.</summary>
    public IEnumerable<(string Key, string Row)> TableRows => Row().Matches(Text).Select(match => (match.Groups["key"].Value, match.Value));

    private string WithoutCode => Fence().Replace(Text, "");

    [GeneratedRegex(@"!?\[[^\]]*\]\((?<target>[^)\s]+)[^)]*\)")]
    private static partial Regex Link();

    [GeneratedRegex(@"^```sh\n(?<body>.*?)^```", RegexOptions.Multiline | RegexOptions.Singleline)]
    private static partial Regex ShellBlock();

    [GeneratedRegex(@"^```.*?^```", RegexOptions.Multiline | RegexOptions.Singleline)]
    private static partial Regex Fence();

    [GeneratedRegex(@"^\| *`(?<key>[^`]+)`[^|\n]*\|.*$", RegexOptions.Multiline)]
    private static partial Regex Row();
}
