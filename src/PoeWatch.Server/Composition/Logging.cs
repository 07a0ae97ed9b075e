using System.Globalization;
using PoeWatch.Server.Settings;
using Serilog;
using Serilog.Core;
using Serilog.Events;
using Serilog.Formatting.Compact;

namespace PoeWatch.Server.Composition;

/// <summary>Serilog as the one way out for logs: console for people, a file of JSON lines for machines.</summary>
public static class Logging
{
    /// <exception cref="SettingsException">The level is unknown.</exception>
    public static Logger Create(LogSettings settings)
    {
        if (!Enum.TryParse(settings.Level, ignoreCase: true, out LogEventLevel level))
        {
            throw new SettingsException(
                $"log.level: '{settings.Level}' is no level. Write one of {string.Join(", ", Enum.GetNames<LogEventLevel>())}.");
        }

        LoggerConfiguration configuration = new LoggerConfiguration()
            .MinimumLevel.Is(level)
            .MinimumLevel.Override("Microsoft", LogEventLevel.Warning)
            // A start that fails is told by the command in one sentence; the framework would print the same with a stack trace before it.
            .MinimumLevel.Override("Microsoft.Extensions.Hosting.Internal.Host", LogEventLevel.Fatal)
            .MinimumLevel.Override("System.Net.Http", LogEventLevel.Warning)
            .Enrich.FromLogContext()
            .WriteTo.Console(
                outputTemplate: "{Timestamp:yyyy-MM-ddTHH:mm:ss.fffzzz} {Level:u3} {Message:lj}{NewLine}{Exception}",
                formatProvider: CultureInfo.InvariantCulture);
        if (settings.File is { } file)
        {
            configuration = configuration.WriteTo.File(
                new CompactJsonFormatter(), file, rollingInterval: RollingInterval.Day, retainedFileCountLimit: 14, fileSizeLimitBytes: 256 * 1024 * 1024);
        }

        return configuration.CreateLogger();
    }
}
