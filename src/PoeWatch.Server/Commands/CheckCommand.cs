using System.CommandLine;
using PoeWatch.DesignFiles;
using PoeWatch.Domain.Design;

namespace PoeWatch.Server.Commands;

/// <summary><c>poewatch check FILE</c>: every problem of a design, and nothing is started.</summary>
internal static class CheckCommand
{
    public static Command Create()
    {
        var file = new Argument<string>("file") { Description = "Design file (YAML)." };
        var types = DemandText.TypesOption();
        var command = new Command("check", "Check a design file: print every problem with its place and remedy. Exit code 2 where there is an error.") { file, types };
        command.SetAction(parsed =>
        {
            var path = parsed.GetRequiredValue(file);
            DesignResult result = DesignFile.Load(path, new DeviceTypeFolder(parsed.GetValue(types))).Result;
            Console.Write(DesignProblemText.Format(path, result));
            if (result.Model is not { } model)
            {
                return ExitCodes.BadInput;
            }

            Console.WriteLine(Summary(model));
            Console.Write(DemandText.Of(model));
            return ExitCodes.Good;
        });
        return command;
    }

    private static string Summary(DesignModel model) => FormattableString.Invariant(
        $"{model.Site.Name}: {Count(model.Switches.Count, "switch", "switches")}, {Count(model.Poles.Count, "pole", "poles")}, {Count(model.Devices.Count, "device", "devices")} on {Count(model.CableRuns.Count, "run", "runs")}.");

    private static string Count(int count, string one, string several) => FormattableString.Invariant($"{count} {(count == 1 ? one : several)}");
}
