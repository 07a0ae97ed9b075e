using System.CommandLine;
using PoeWatch.Evidence.Checks;
using PoeWatch.Monitoring.Sealing;
using PoeWatch.Server.Settings;

namespace PoeWatch.Server.Commands;

/// <summary><c>poewatch verify EXPORT</c>: checks an export of evidence. Nothing else is needed, no service and no network.</summary>
internal static class VerifyCommand
{
    public static Command Create()
    {
        var export = new Argument<string>("export") { Description = "The export: a zip or its unpacked folder." };
        var key = new Option<string>("--key") { Description = "The operator's public key (PEM), got on another way than the export.", Required = true };
        var earlier = new Option<string?>("--earlier") { Description = "A root file (poewatch-root-….json) kept from earlier." };
        var command = new Command("verify", "Check an export of evidence: exit code 0 where nothing was changed, 1 where something was, 2 where the input cannot be used.") { export, key, earlier };
        command.SetAction(async (parsed, stop) =>
        {
            using var publicKey = EvidenceSigner.ReadKey(Text(parsed.GetRequiredValue(key), "--key"), out var keyProblem)
                ?? throw new SettingsException($"--key: '{parsed.GetRequiredValue(key)}' cannot be used: {keyProblem}. It is the file that 'poewatch seal-key' named NAME.pub.pem.");
            var kept = parsed.GetValue(earlier) is { } file ? Text(file, "--earlier") : null;
            using var files = ExportFiles.Open(parsed.GetRequiredValue(export), out var problem)
                ?? throw new SettingsException($"'{parsed.GetRequiredValue(export)}' is no export that can be read: {problem}. Give the zip or its unpacked folder.");
            var verdict = await EvidenceCheck.CheckAsync(files, publicKey, EvidenceSigner.KeyIdOf(publicKey), kept, stop);
            Print(verdict);
            return verdict.Holds ? ExitCodes.Good : ExitCodes.Failed;
        });
        return command;
    }

    private static void Print(EvidenceVerdict verdict)
    {
        foreach (var line in verdict.Summary)
        {
            Console.WriteLine(line);
        }

        foreach (var note in verdict.Notes)
        {
            Console.WriteLine($"Note: {note}");
        }

        foreach (var fault in verdict.Faults)
        {
            Console.WriteLine($"FAULT: {fault}");
        }

        if (verdict.MoreFaults > 0)
        {
            Console.WriteLine($"FAULT: and {verdict.MoreFaults} more.");
        }

        Console.WriteLine(verdict.Holds ? "Nothing was changed, is missing or out of order." : "The evidence does not hold: see the faults.");
    }

    private static string Text(string file, string option)
    {
        try
        {
            return File.ReadAllText(file);
        }
        catch (Exception unreadable) when (unreadable is IOException or UnauthorizedAccessException)
        {
            throw new SettingsException($"{option}: '{file}' cannot be read: {unreadable.Message}", unreadable);
        }
    }
}
