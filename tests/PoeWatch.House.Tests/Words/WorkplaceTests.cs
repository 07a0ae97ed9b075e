using System.Text.RegularExpressions;
using PoeWatch.House.Tests.Support;

namespace PoeWatch.House.Tests.Words;

/// <summary>The repository speaks of its subject, not of where and by whom it was typed.</summary>
public sealed class WorkplaceTests
{
    private static readonly string[] TextFiles = [".cs", ".md", ".ts", ".html", ".css", ".yaml", ".yml", ".json", ".csproj", ".props", ".service", ".txt", ".csv", ".sql", ".sh", ""];

    // Halves, so that this file does not hold what it looks for.
    private static readonly Regex Workplace = new(
        string.Join(
            '|',
            "/wo" + "rk/", "/t" + "mp/w", @"\.lib" + "rary", "shared/fa" + "cts", "trans" + "cript", "seed doc" + "ument", @"\bClau" + @"de\b",
            "Anthr" + "opic", @"\bLL" + @"M\b", "AI-gen" + "erated", "language mod" + "el", @"\bsub-?ag" + @"ent\b", @"\bBRI" + @"EF\b"),
        RegexOptions.IgnoreCase | RegexOptions.CultureInvariant);

    [Fact]
    public void No_file_names_the_place_it_was_written_at() => Rule.HoldsFor(
        from path in Repository.AllFiles
        where TextFiles.Contains(Path.GetExtension(path)) && Path.GetFileName(path) != "package-lock.json"
        from line in File.ReadLines(Path.Combine(Repository.Root, path)).Select((text, index) => (Text: text, Number: index + 1))
        let found = Workplace.Match(line.Text)
        where found.Success
        select $"{path}:{line.Number} {found.Value}",
        "Say what is so, not where it was found.");
}
