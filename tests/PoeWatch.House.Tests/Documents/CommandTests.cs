using System.Text.RegularExpressions;
using PoeWatch.House.Tests.Support;

namespace PoeWatch.House.Tests.Documents;

/// <summary>A command that README.md or DEVELOPERS.md tells a reader to type is run by .ci/run, or docs/commands-not-in-ci.md says why not.</summary>
public sealed partial class CommandTests
{
    private const string ExemptionList = "docs/commands-not-in-ci.md";
    private static readonly string[] Guides = ["README.md", "DEVELOPERS.md"];

    private static HashSet<string> RunByCi => [.. DocumentedCall().Matches(Repository.Read(".ci/run")).Select(match => match.Groups["command"].Value)];

    private static HashSet<string> Exempt => [.. MarkdownFile.Load(ExemptionList).TableRows.Select(row => row.Key)];

    private static IEnumerable<(string Guide, string Command)> Documented =>
        Guides.Where(Repository.Exists).SelectMany(guide => MarkdownFile.Load(guide).Commands.Select(command => (guide, command)));

    [Fact]
    public void Every_documented_command_is_run_by_CI_or_exempt_with_a_reason() => Rule.HoldsFor(
        from documented in Documented
        where !RunByCi.Contains(documented.Command) && !Exempt.Contains(documented.Command) && !IsRunAgainstTheDemo(documented.Command)
        select $"{documented.Guide}: {documented.Command}",
        $"Call it in .ci/run by documented '…' exactly as written, or give the reason in {ExemptionList}.");

    [Fact]
    public void Every_command_that_CI_runs_as_documented_is_documented() => Rule.HoldsFor(
        RunByCi.Except(Documented.Select(documented => documented.Command)),
        "Write it into README.md or DEVELOPERS.md, or run it without documented.");

    [Fact]
    public void No_exemption_outlives_its_command() => Rule.HoldsFor(
        Exempt.Except(Documented.Select(documented => documented.Command)).Concat(Exempt.Intersect(RunByCi)),
        $"Strike it out of {ExemptionList}.");

    // .ci/run reads these out of README.md itself and runs each while the demo is up.
    private static bool IsRunAgainstTheDemo(string command) => command.StartsWith("curl ", StringComparison.Ordinal);

    // The function's name and the command in single quotes, so no documented command may hold one.
    [GeneratedRegex(@"^\s*documented(_demo)? '(?<command>[^']*)'", RegexOptions.Multiline)]
    private static partial Regex DocumentedCall();
}
