using System.Text.Json.Serialization;
using Microsoft.AspNetCore.Http.Json;
using Microsoft.Extensions.DependencyInjection.Extensions;
using PoeWatch.Api.Access;
using PoeWatch.Api.Endpoints;
using PoeWatch.Api.Export;
using PoeWatch.Api.History;
using PoeWatch.Api.Live;
using PoeWatch.Api.Problems;
using PoeWatch.Api.Web;

namespace PoeWatch.Api;

/// <summary>
/// Wires the REST API, the live stream and the dashboard into a web application. Asks the services for <c>ISiteView</c>, <c>IAlarmDesk</c>,
/// <c>IAlarmStore</c>, <c>IMaintenanceDesk</c>, <c>AlarmTimings</c>, <c>IAgentChangeStore</c>, <c>IConditionDesk</c>, <c>IConditionStore</c>, <c>IDesignDesk</c>, <c>IDesignStore</c>, <c>IEvidenceExports</c>,
/// <c>IEvidenceReports</c>, <c>IHistoryStore</c>, <c>INoticeDesk</c>, <c>IPollCounts</c>, <c>IServiceHealth</c> and <c>RollupReader</c>. Call <see cref="ListenPolicy.Check"/>
/// before anything is bound.
/// </summary>
public static class PoeWatchApi
{
    private const int BodyBytesMax = 64 * 1024;

    public static IServiceCollection AddPoeWatchApi(this IServiceCollection services, ApiOptions options)
    {
        services.TryAddSingleton(TimeProvider.System);
        services.AddSingleton(options);
        services.AddSingleton<KeyRing>();
        services.AddSingleton<ChangeLog>();
        services.AddSingleton<LiveStreams>();
        services.AddSingleton<SeriesReader>();
        services.AddSingleton<PlacementDesk>();
        services.AddSingleton<ReportDesk>();
        services.AddSingleton<DemandDesk>();
        services.AddSingleton<HistoryGate>();
        services.AddSingleton<HistoryServices>();
        services.AddExceptionHandler<ApiExceptionHandler>();
        services.AddProblemDetails();
        services.Configure<RouteHandlerOptions>(route => route.ThrowOnBadRequest = true);
        services.Configure<JsonOptions>(json =>
        {
            json.SerializerOptions.NumberHandling = JsonNumberHandling.Strict;
            json.SerializerOptions.Converters.Add(new UtcTimeConverter());
        });
        services.AddOpenApi("v1", OpenApiDetails.Apply);
        return services;
    }

    /// <summary>Adds the gate, the API under /api/v1, the OpenAPI document and the dashboard.</summary>
    public static WebApplication MapPoeWatchApi(this WebApplication app)
    {
        app.UseMiddleware<SecurityHeaders>();
        app.UseExceptionHandler();
        app.UseStatusCodePages(StatusPages.AnswerAsync);
        app.UseMiddleware<AccessGate>();

        var api = app.MapGroup("/api/v1").WithMetadata(new RequestSizeLimit(BodyBytesMax)).ProducesProblem(400)
            .AddEndpointFilter(KnownQuery.RefuseUnknownAsync);
        ((IEndpointConventionBuilder)api).Add(KnownQuery.Note);
        SiteEndpoints.Map(api);
        AgentChangeEndpoints.Map(api);
        GroupEndpoints.Map(api);
        PoleEndpoints.Map(api);
        PlacementEndpoints.Map(api);
        DemandEndpoints.Map(api);
        AlarmEndpoints.Map(api);
        AlarmLifeEndpoints.Map(api);
        AlarmFigureEndpoints.Map(api);
        NoticeEndpoints.Map(api);
        ConditionEndpoints.Map(api);
        DesignEndpoints.Map(api);
        DesignReportEndpoints.Map(api);
        HealthEndpoints.Map(api);
        HistoryEndpoints.Map(api);
        DrawRankEndpoints.Map(api);
        ExportEndpoints.Map(api);
        EvidenceEndpoints.Map(api);
        LiveEndpoints.Map(api);
        app.MapOpenApi("/openapi/{documentName}.json");
        ProblemPages.Map(app);
        DashboardFiles.Map(app);
        return app;
    }
}
