using System.Text;
using PoeWatch.Domain.Design;

namespace PoeWatch.DesignFiles;

/// <summary>Problems as text for a terminal: one a line, then a closing count.</summary>
public static class DesignProblemText
{
    public static string Format(string file, DesignResult result)
    {
        var text = new StringBuilder();
        foreach (var problem in result.Problems)
        {
            text.Append(OneLine(problem.ToString())).Append('\n');
        }

        var (errors, warnings) = (result.Errors.Count(), result.Warnings.Count());
        var verdict = result.Model is null ? "refused" : "valid";
        return text.Append(FormattableString.Invariant($"{file}: {verdict}, {Count(errors, "error")}, {Count(warnings, "warning")}.\n")).ToString();
    }

    private static string Count(int count, string noun) => FormattableString.Invariant($"{count} {noun}{(count == 1 ? "" : "s")}");

    // What somebody wrote may hold line ends and control characters; a terminal gets neither.
    private static string OneLine(string text) => string.Concat(text.Select(c => char.IsControl(c) ? ' ' : c));
}
