using System.Net.Mime;
using System.Reflection;
using System.Security.Cryptography;
using System.Text;
using PoeWatch.Api.Problems;
using PoeWatch.Domain.DesignReports;
using PoeWatch.Domain.DesignReports.Pages;
using PoeWatch.Domain.DesignReports.Texts;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Endpoints;

/// <summary>What the design in force comes to, in three forms with a path each.</summary>
internal static class DesignReportEndpoints
{
    private static readonly string s_version =
        typeof(DesignReportEndpoints).Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()?.InformationalVersion ?? "unknown";

    public static void Map(RouteGroupBuilder api)
    {
        Describe(api.MapGet("/design/report", JsonAsync)
            .WithSummary("What the design in force comes to: volts, amperes, watts, losses, limits and margins of every run, or of one"))
            .Produces<DesignReport>(200, MediaTypeNames.Application.Json);
        Describe(api.MapGet("/design/report.txt", TextAsync).WithSummary("The same report as text of 100 columns")).Produces<string>(200, MediaTypeNames.Text.Plain);
        Describe(api.MapGet("/design/report.html", PageAsync).WithSummary("The same report as a page to print, with a drawing of every run"))
            .Produces<string>(200, MediaTypeNames.Text.Html);
    }

    private static RouteHandlerBuilder Describe(RouteHandlerBuilder route) => route.WithTags("design").ProducesProblem(404).ProducesProblem(503);

    private static Task<IResult> JsonAsync(HttpContext context, ISiteView site, ReportDesk desk, string? run, CancellationToken cancellationToken) =>
        AnswerAsync(site, desk, run, report => context.Response.WriteAsJsonAsync(report, ReportJson.Options, cancellationToken), cancellationToken);

    private static Task<IResult> TextAsync(HttpContext context, ISiteView site, ReportDesk desk, string? run, CancellationToken cancellationToken) =>
        AnswerAsync(site, desk, run, report => SendAsync(context, "text/plain; charset=utf-8", DesignReportText.Pieces(report), cancellationToken), cancellationToken);

    private static Task<IResult> PageAsync(HttpContext context, ISiteView site, ReportDesk desk, string? run, CancellationToken cancellationToken) =>
        AnswerAsync(
            site,
            desk,
            run,
            report =>
            {
                // The page brings its own style sheet and nothing else: it is let in by its hash.
                var hash = Convert.ToBase64String(SHA256.HashData(Encoding.UTF8.GetBytes(DesignReportPage.StyleOf(report))));
                context.Response.Headers.ContentSecurityPolicy =
                    $"default-src 'none'; style-src 'sha256-{hash}'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
                return SendAsync(context, "text/html; charset=utf-8", DesignReportPage.Pieces(report), cancellationToken);
            },
            cancellationToken);

    private static async Task<IResult> AnswerAsync(
        ISiteView site, ReportDesk desk, string? run, Func<DesignReport, Task> sendAsync, CancellationToken cancellationToken)
    {
        var design = site.Current.Design;
        if (run is not null && !design.CableRuns.ContainsKey(run))
        {
            return Problem.NotFound("run", run, "run", "See /api/v1/runs for those it knows.");
        }

        if (await desk.TryBuildAsync(design, s_version, run, cancellationToken) is not { } report)
        {
            return Problem.Of(ProblemTypes.Busy, "Too many reports are being made at once.", "design/report", null, "Try again in a little while.");
        }

        await sendAsync(report);
        return Results.Empty;
    }

    private static async Task SendAsync(HttpContext context, string media, IEnumerable<string> pieces, CancellationToken cancellationToken)
    {
        context.Response.ContentType = media;
        foreach (var piece in pieces)
        {
            await context.Response.WriteAsync(piece, Encoding.UTF8, cancellationToken);
        }
    }
}
