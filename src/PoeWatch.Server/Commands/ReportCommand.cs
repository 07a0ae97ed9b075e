using System.CommandLine;
using System.Text;
using PoeWatch.DesignFiles;
using PoeWatch.Domain.DesignReports;
using PoeWatch.Domain.DesignReports.Pages;
using PoeWatch.Domain.DesignReports.Texts;
using PoeWatch.Server.Composition;

namespace PoeWatch.Server.Commands;

/// <summary><c>poewatch report DESIGN</c>: what a design comes to, as text, JSON or a page to print. Nothing is started.</summary>
internal static class ReportCommand
{
    private static readonly UTF8Encoding s_utf8 = new(encoderShouldEmitUTF8Identifier: false);

    public static Command Create()
    {
        var file = new Argument<string>("design") { Description = "Design file (YAML)." };
        var format = new Option<string>("--format") { Description = "text, json or page (HTML to print).", DefaultValueFactory = _ => "text" };
        format.AcceptOnlyFromAmong("text", "json", "page");
        var run = new Option<string?>("--run") { Description = "Only this run, such as quay-west:1/7, and its group." };
        var types = DemandText.TypesOption();
        var output = new Option<string?>("--out") { Description = "File to write; must not exist. Without it the report is printed." };
        var command = new Command("report", "Report what a design comes to: volts, amperes, watts, losses, limits and margins. Exit code 2 where the design is refused.") { file, format, run, types, output };
        command.SetAction(async (parsed, stop) =>
        {
            var path = parsed.GetRequiredValue(file);
            var result = DesignFile.Load(path, new DeviceTypeFolder(parsed.GetValue(types))).Result;
            if (result.Model is not { } design)
            {
                await Console.Error.WriteAsync(DesignProblemText.Format(path, result));
                return ExitCodes.BadInput;
            }

            if (parsed.GetValue(run) is { } wanted && !design.CableRuns.ContainsKey(wanted))
            {
                await Console.Error.WriteLineAsync($"--run: the design has no run '{wanted}'. It has: {string.Join(", ", design.CableRuns.Keys.Take(20))}{(design.CableRuns.Count > 20 ? " and more" : "")}.");
                return ExitCodes.BadInput;
            }

            var report = DesignReportBuilder.Build(design, TimeProvider.System.GetUtcNow(), ProductVersion.Text, parsed.GetValue(run), stop);
            return await WriteAsync(Pieces(report, parsed.GetRequiredValue(format)), parsed.GetValue(output), stop);
        });
        return command;
    }

    private static IEnumerable<string> Pieces(DesignReport report, string format) => format switch
    {
        "json" => [Encoding.UTF8.GetString(ReportJson.Write(report)), "\n"],
        "page" => DesignReportPage.Pieces(report),
        _ => DesignReportText.Pieces(report),
    };

    private static async Task<int> WriteAsync(IEnumerable<string> pieces, string? path, CancellationToken stop)
    {
        Stream target;
        try
        {
            target = path is null ? Console.OpenStandardOutput() : new FileStream(path, FileMode.CreateNew, FileAccess.Write);
        }
        catch (Exception failed) when (failed is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            await Console.Error.WriteLineAsync($"--out: '{path}' cannot be made: {failed.Message} Give a file that does not exist, in a folder that this user may write.");
            return ExitCodes.NotUsable;
        }

        try
        {
            await using var writer = new StreamWriter(target, s_utf8);
            foreach (var piece in pieces)
            {
                await writer.WriteAsync(piece.AsMemory(), stop);
            }

            await writer.FlushAsync(stop);
            return ExitCodes.Good;
        }
        catch (IOException failed)
        {
            // What was cut off must not pass as a whole report.
            await Console.Error.WriteLineAsync($"'{path ?? "standard output"}' is not whole: {failed.Message} Report again.");
            return ExitCodes.NotUsable;
        }
    }
}
