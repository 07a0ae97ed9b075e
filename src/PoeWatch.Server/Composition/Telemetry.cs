using Npgsql;
using OpenTelemetry.Metrics;
using OpenTelemetry.Resources;
using OpenTelemetry.Trace;
using PoeWatch.Monitoring.Telemetry;
using PoeWatch.Server.Settings;

namespace PoeWatch.Server.Composition;

/// <summary>The service's own figures: traces and metrics over OTLP where set, metrics always in OpenMetrics text at /metrics.</summary>
public static class Telemetry
{
    // The default buckets begin at 5: all durations of ours would fall into the first one.
    private static readonly double[] Seconds = [0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10];

    public static IServiceCollection AddPoeWatchTelemetry(this IServiceCollection services, TelemetrySettings settings, string version)
    {
        Uri? otlp = Endpoint(settings.OtlpEndpoint);
        services.AddOpenTelemetry()
            .ConfigureResource(resource => resource.AddService("poewatch", serviceVersion: version))
            .WithMetrics(metrics =>
            {
                metrics
                    .AddMeter(PollingMetrics.MeterName, NotificationMetrics.MeterName, StorageMetrics.MeterName, RollupMetrics.MeterName, AlarmMetrics.MeterName, NoticeMetrics.MeterName)
                    .AddAspNetCoreInstrumentation()
                    .AddRuntimeInstrumentation()
                    .AddView(
                        instrument => instrument.Unit == "s" && instrument.Name.StartsWith("poewatch.", StringComparison.Ordinal)
                            ? new ExplicitBucketHistogramConfiguration { Boundaries = Seconds }
                            : null)
                    .AddPrometheusExporter();
                if (otlp is not null)
                {
                    metrics.AddOtlpExporter(exporter => exporter.Endpoint = otlp);
                }
            })
            .WithTracing(traces =>
            {
                traces
                    .AddSource(PollingMetrics.MeterName, StorageMetrics.MeterName)
                    .AddAspNetCoreInstrumentation()
                    .AddNpgsql();
                if (otlp is not null)
                {
                    traces.AddOtlpExporter(exporter => exporter.Endpoint = otlp);
                }
            });
        return services;
    }

    private static Uri? Endpoint(string? text) =>
        text is null
            ? null
            : Uri.TryCreate(text, UriKind.Absolute, out Uri? uri) && uri.Scheme is "http" or "https"
                ? uri
                : throw new SettingsException($"telemetry.otlpEndpoint: '{text}' is no http or https URL. Write one such as http://127.0.0.1:4317.");
}
