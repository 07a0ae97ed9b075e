using System.CommandLine;
using PoeWatch.Domain.Alarms;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Server.Composition;
using PoeWatch.Server.Demo;
using PoeWatch.Server.Settings;
using PoeWatch.Snmp;
using Serilog.Extensions.Logging;

namespace PoeWatch.Server.Commands;

/// <summary><c>poewatch demo</c>: the simulated harbour of Skerry Haven and the service that watches it, on this machine alone.</summary>
internal static class DemoCommand
{
    // Shorter than in earnest, so that somebody who looks for a minute sees an alarm come and go.
    private static readonly AlarmTimings Timings = new() { OnDelay = TimeSpan.FromSeconds(6), OffDelay = TimeSpan.FromSeconds(10) };

    public static Command Create()
    {
        var port = new Option<int>("--port") { Description = "TCP port of API and dashboard.", DefaultValueFactory = _ => 8460 };
        var data = new Option<string?>("--data") { Description = "Folder for the history of the demo." };
        var seed = new Option<int>("--seed") { Description = "Start of the world's chance: the same seed gives the same world.", DefaultValueFactory = _ => 1 };
        var calm = new Option<bool>("--calm") { Description = "Let nothing happen in the harbour." };
        var settingsFile = new Option<string?>("--settings") { Description = "Settings file (JSON), of which the demo takes where to listen for traps and informs." };
        var command = new Command("demo", "Run the simulated harbour of Skerry Haven with real SNMP agents on loopback, and watch it.") { port, data, seed, calm, settingsFile };
        command.SetAction(async (parsed, stop) =>
        {
            var settings = new ServerSettings
            {
                DataFolder = DataFolder.OfDemo(parsed.GetValue(data)),
                Listen = { Port = parsed.GetValue(port) },
                Log = { Level = "Warning" },

                // The one thing to try out that needs a sender from outside.
                Notifications = SettingsLoader.Load(parsed.GetValue(settingsFile)).Notifications,
            };
            using var loggers = new SerilogLoggerFactory(Logging.Create(new LogSettings()), dispose: true);
            await using DemoHarbour harbour = await DemoHarbour.StartAsync(
                parsed.GetValue(seed), parsed.GetValue(calm), loggers.CreateLogger<DemoHarbour>());
            DesignReading first = harbour.Read();
            await using WebApplication app = ServiceApplication.Build(settings, harbour, first, new DemoCredentials(), Timings);
            var greeting = FormattableString.Invariant(
                $"This is the simulated harbour of Skerry Haven (seed {parsed.GetValue(seed)}); its history lies in {settings.DataFolder}. Ctrl-C ends it.");
            return await ServiceRunner.RunAsync(app, settings, greeting, stop);
        });
        return command;
    }

    /// <summary>All simulated agents open with one community that is no secret.</summary>
    private sealed class DemoCredentials : ICredentialSource
    {
        public SnmpCredentials Find(string name, out string problem)
        {
            problem = string.Empty;
            return DemoHarbour.Credentials;
        }
    }
}
