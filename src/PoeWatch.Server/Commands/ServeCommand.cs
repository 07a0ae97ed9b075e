using System.CommandLine;
using PoeWatch.DesignFiles;
using PoeWatch.Domain.Design;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Server.Composition;
using PoeWatch.Server.Settings;

namespace PoeWatch.Server.Commands;

/// <summary><c>poewatch serve</c>: the service itself, until it is told to stop.</summary>
internal static class ServeCommand
{
    public static Command Create()
    {
        var design = new Option<string?>("--design") { Description = "Design file (YAML) to hold the network against." };
        var settings = new Option<string?>("--settings") { Description = "Settings file (JSON)." };
        var data = new Option<string?>("--data") { Description = "Folder for the embedded store." };
        var port = new Option<int?>("--port") { Description = "TCP port of API and dashboard." };
        var command = new Command("serve", "Poll the switches of a design, keep the history, raise alarms, serve API and dashboard.") { design, settings, data, port };
        command.SetAction(async (parsed, stop) =>
        {
            ServerSettings loaded = SettingsLoader.Load(parsed.GetValue(settings));
            loaded.Design = parsed.GetValue(design) ?? loaded.Design;
            loaded.DataFolder = parsed.GetValue(data) ?? loaded.DataFolder;
            loaded.Listen.Port = parsed.GetValue(port) ?? loaded.Listen.Port;
            if (loaded.Design is not { } file)
            {
                throw new SettingsException("No design is named. Give one with --design FILE or as 'design' in the settings.");
            }

            var source = new DesignFileSource(file, new DeviceTypeFolder(loaded.DeviceTypesFolder));
            DesignReading first = source.Read();
            if (first.Model is null)
            {
                await Console.Error.WriteAsync(DesignProblemText.Format(file, new DesignResult(null, first.Problems)));
                return ExitCodes.BadInput;
            }

            var credentials = new CredentialStore(loaded.Credentials, TimeProvider.System);
            foreach (var problem in first.Model.Agents.Values.Concat(first.Model.UpsUnits.Values.Select(ups => ups.Agent).OfType<SnmpAgent>()).Select(agent => agent.Credentials).Distinct(StringComparer.Ordinal)
                .Select(name => credentials.Find(name, out var told) is null ? told : null).OfType<string>())
            {
                // The other switches can be polled, so this is no reason not to start.
                await Console.Error.WriteLineAsync($"Warning: {problem} Until then nothing is known of the switches that need them.");
            }

            await using WebApplication app = ServiceApplication.Build(loaded, source, first, credentials, loaded.Alarms.ToTimings());
            return await ServiceRunner.RunAsync(app, loaded, string.Empty, stop);
        });
        return command;
    }
}
