using System.Collections.Frozen;
using PoeWatch.Api;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Service;
using PoeWatch.Server.Settings;
using PoeWatch.Snmp.Notifications;
using Serilog;

namespace PoeWatch.Server.Composition;

/// <summary>Puts the whole service together from settings and a first design.</summary>
public static class ServiceApplication
{
    /// <param name="source">Where designs are read from.</param>
    /// <param name="first">The design to start with; valid.</param>
    /// <param name="credentials">Where secrets are found.</param>
    /// <param name="timings">Delays of alarms.</param>
    /// <exception cref="SettingsException">The settings cannot be used.</exception>
    public static WebApplication Build(
        ServerSettings settings, IDesignSource source, DesignReading first, ICredentialSource credentials, AlarmTimings timings)
    {
        ApiOptions api = Listening.Options(settings.Listen);
        WebApplicationBuilder builder = WebApplication.CreateSlimBuilder(new WebApplicationOptions { ApplicationName = "poewatch" });
        builder.Configuration.Sources.Clear();
        builder.WebHost.ConfigureKestrel(kestrel => Listening.Bind(kestrel, api));
        builder.WebHost.UseKestrelHttpsConfiguration();
        builder.Host.UseSerilog(Logging.Create(settings.Log), dispose: true);
        builder.Host.UseSystemd();

        TimeProvider time = TimeProvider.System;
        var identity = new ServiceIdentity(ProductVersion.Text, time.GetUtcNow());
        DesignModel design = first.Model ?? throw new ArgumentException("The first design must be valid.", nameof(first));
        builder.Services
            .AddSingleton(time)
            .AddSingleton(identity)
            .AddSingleton(source)
            .AddSingleton(credentials)
            .AddSingleton(DrawSheetFiles.Load(settings.DrawSheetFolder))
            .AddSingleton(new DesignVersion(design.Hash, first.Text, identity.StartedAt, "start"))
            .AddSingleton(new SiteViewHolder(FirstView(design, identity.StartedAt)))
            .AddSingleton(Microsoft.Extensions.Options.Options.Create(settings.Polling))
            .AddSingleton(Microsoft.Extensions.Options.Options.Create(settings.Keeper))
            .AddSingleton(Microsoft.Extensions.Options.Options.Create(settings.History))
            .AddSingleton(Microsoft.Extensions.Options.Options.Create(settings.Notifications))
            .AddSingleton(new Lazy<EngineIdentity>(() => NotificationEngineFile.Start(DataFolder.Of(settings.DataFolder))))
            .AddPoeWatchStore(settings)
            .AddPoeWatchEvidence(settings.Evidence)
            .AddPoeWatchNotices(settings.Notices, credentials, time)
            .AddPoeWatchMonitoring(timings)
            .AddPoeWatchApi(api)
            .AddPoeWatchTelemetry(settings.Telemetry, identity.Version);

        WebApplication app = builder.Build();
        app.MapPoeWatchApi();
        app.MapPrometheusScrapingEndpoint("/metrics");
        return app;
    }

    private static SiteView FirstView(DesignModel design, DateTimeOffset now)
    {
        var nothing = new NetworkSnapshot(
            now, FrozenDictionary<string, SwitchReading>.Empty, FrozenDictionary<string, SwitchReading>.Empty);
        return new SiteView(0, design, nothing, SiteAssessor.Assess(DesignAnalysis.Of(design), nothing), [], 0);
    }
}
