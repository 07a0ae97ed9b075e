using System.CommandLine;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Server.Settings;

namespace PoeWatch.Server.Commands;

/// <summary>The command line: one class a command, expected failures as one message and an exit code.</summary>
public static class PoeWatchCommands
{
    public static async Task<int> RunAsync(string[] args)
    {
        var root = new RootCommand("PoeWatch holds a deployed PoE network of outdoor poles against its design. It only reads: it never writes to a switch.")
        {
            DemoCommand.Create(),
            ServeCommand.Create(),
            CheckCommand.Create(),
            ReportCommand.Create(),
            InspectCommand.Create(),
            RecordCommand.Create(),
            DraftCommand.Create(),
            ApplyCommand.Create(),
            ExportCommand.Create(),
            VerifyCommand.Create(),
            EvidenceReportCommand.Create(),
            SealKeyCommand.Create(),
            CopyHistoryCommand.Create(),
            ProveHistoryCommand.Create(),
            MoveHistoryCommand.Create(),
            KeyCommand.Create(),
            TryNoticesCommand.Create(),
            HealthCommand.Create(),
        };
        ParseResult parsed = root.Parse(args);
        if (parsed.Errors.Count > 0)
        {
            foreach (var error in parsed.Errors)
            {
                await Console.Error.WriteLineAsync(error.Message);
            }

            await Console.Error.WriteLineAsync($"'{(parsed.CommandResult.Command == root ? "poewatch" : $"poewatch {parsed.CommandResult.Command.Name}")} --help' lists what is understood.");
            return ExitCodes.BadInput;
        }

        try
        {
            return await parsed.InvokeAsync(new InvocationConfiguration { EnableDefaultExceptionHandler = false, ProcessTerminationTimeout = null });
        }
        catch (SettingsException refused)
        {
            await Console.Error.WriteLineAsync(refused.Message);
            return ExitCodes.BadInput;
        }
        catch (StoreException unusable)
        {
            await Console.Error.WriteLineAsync(unusable.Message);
            return ExitCodes.NotUsable;
        }
        catch (OperationCanceledException)
        {
            return ExitCodes.Failed;
        }
    }
}
