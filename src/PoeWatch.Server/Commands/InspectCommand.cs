using System.CommandLine;
using System.Net;
using PoeWatch.Monitoring.Polling.Inspection;
using PoeWatch.Monitoring.Polling.Ups;
using PoeWatch.Server.Composition;
using PoeWatch.Server.Settings;
using PoeWatch.Snmp;

namespace PoeWatch.Server.Commands;

/// <summary><c>poewatch inspect ADDRESS</c>: asks one switch what it offers, so that a design or a draw sheet can be written for it.</summary>
internal static class InspectCommand
{
    public static Command Create()
    {
        var address = new Argument<string>("address") { Description = "IP address or name of the switch, with :PORT where it is not 161." };
        var credentials = new Option<string>("--credentials") { Description = "Name of the credentials in the settings.", DefaultValueFactory = _ => "default" };
        var settings = new Option<string?>("--settings") { Description = "Settings file (JSON)." };
        var command = new Command("inspect", "Ask one switch what it offers of PoE. It only reads.") { address, credentials, settings };
        command.SetAction(async (parsed, stop) =>
        {
            ServerSettings loaded = SettingsLoader.Load(parsed.GetValue(settings));
            IPEndPoint endpoint = await AgentAddress.Parse(parsed.GetRequiredValue(address)).RequireAsync(stop);
            var store = new CredentialStore(loaded.Credentials, TimeProvider.System);
            SnmpCredentials secret = store.Find(parsed.GetRequiredValue(credentials), out var problem) ?? throw new SettingsException(problem);
            await using var client = new SnmpClient(TimeProvider.System);
            var target = new SnmpTarget(endpoint, secret, loaded.Polling.Timeout, loaded.Polling.Retries);
            var inspector = new AgentInspector(client, DrawSheetFiles.Load(loaded.DrawSheetFolder), TimeProvider.System);
            var (report, answer) = await inspector.InspectAsync(target, stop);
            if (report is null)
            {
                await Console.Error.WriteLineAsync(await AgentAddress.WhyAsync(client, target, answer, stop));
                return ExitCodes.Failed;
            }

            await Console.Out.WriteAsync(InspectionText.Write(report));
            if (report.Reading.Ports.IsEmpty && (await client.GetAsync(target, [UpsOids.Source, UpsOids.Battery], stop)).VarBinds.Any(cell => cell.Value.IsPresent))
            {
                await Console.Out.WriteLineAsync("It has UPS-MIB (RFC 1628): in a design it is the 'agent' of a battery under 'ups'.");
            }

            await Console.Error.WriteAsync(report.Incomplete.Length > 0 ? report.Incomplete + Environment.NewLine : string.Empty);
            return report.Incomplete.Length == 0 ? ExitCodes.Good : ExitCodes.Failed;
        });
        return command;
    }
}
