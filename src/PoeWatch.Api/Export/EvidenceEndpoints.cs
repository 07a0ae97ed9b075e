using System.Globalization;
using System.IO.Compression;
using System.Net.Mime;
using System.Security.Cryptography;
using System.Text;
using PoeWatch.Api.Endpoints;
using PoeWatch.Api.History;
using PoeWatch.Api.Problems;
using PoeWatch.Domain.Evidence.Reports;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Export;

/// <summary>Evidence of a period as one zip.</summary>
internal static class EvidenceEndpoints
{
    public static void Map(RouteGroupBuilder api)
    {
        api.MapGet("/evidence.zip", ZipAsync)
            .WithSummary("Evidence of [from, to) as a zip: rows and quarter-hours as CSV and Parquet, gaps, designs, alarms, conditions, proofs, signed manifest")
            .WithTags("history").Produces(200, contentType: MediaTypeNames.Application.Zip).ProducesProblem(404).ProducesProblem(422).ProducesProblem(503);
        api.MapGet("/evidence/report.html", PageAsync)
            .WithSummary("What a month comes to, as a page to print: energy, peaks against the design, completeness, alarms, designs, roots of the days")
            .WithTags("history").Produces<string>(200, MediaTypeNames.Text.Html).ProducesProblem(404).ProducesProblem(503);
    }

    private static async Task<IResult> ZipAsync(
        HttpContext context, Moment? from, Moment? to, string? pole, string? pse, string? port, HistoryServices services, IEvidenceExports exports,
        CancellationToken cancellationToken)
    {
        var (period, problem) = HistoryRange.Of(from, to, services.Time.GetUtcNow(), services.Options.ExportPeriodMax);
        if (problem is not null)
        {
            return problem;
        }

        EvidenceScope[] scopes =
        [
            .. new[] { ("pole", pole), ("switch", pse), ("port", port) }.Where(s => s.Item2 is not null).Select(s => new EvidenceScope(s.Item1, s.Item2!)),
        ];
        if (scopes.Length > 1)
        {
            return Problem.BadValue(scopes[1].Kind, scopes[1].Id, "More than one scope is given.", "Give one of pole, pse and port, or none for the whole site.");
        }

        if (!await services.Gate.TryEnterAsync(cancellationToken))
        {
            return HistoryGate.AllTaken();
        }

        var folder = Directory.CreateTempSubdirectory("poewatch-evidence-");
        try
        {
            var scope = scopes.FirstOrDefault() ?? EvidenceScope.Site;
            if (await exports.WriteAsync(new EvidenceRequest(period.From, period.To, scope), folder.FullName, cancellationToken) is { } refusal)
            {
                return Problem.Of(ProblemTypes.NotFound, refusal, scope.Kind, scope.Id, "See /api/v1/poles and /api/v1/switches for those of the design in force.");
            }

            await SendAsync(context, folder.FullName, FileName(scope, period), cancellationToken);
            return Results.Empty;
        }
        finally
        {
            folder.Delete(recursive: true);
            services.Gate.Leave();
        }
    }

    private static async Task<IResult> PageAsync(
        HttpContext context, string? month, HistoryServices services, IEvidenceReports reports, CancellationToken cancellationToken)
    {
        var asked = month ?? services.Time.GetUtcNow().ToString("yyyy-MM", CultureInfo.InvariantCulture);
        if (!DateOnly.TryParseExact(asked + "-01", "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var first))
        {
            return Problem.BadValue("month", asked, "This is no month.", "Write it as year and month, such as 2026-11.");
        }

        if (!await services.Gate.TryEnterAsync(cancellationToken))
        {
            return HistoryGate.AllTaken();
        }

        try
        {
            if (await reports.BuildAsync(first, cancellationToken) is not { } report)
            {
                return Problem.BadValue("month", asked, "This month has not begun.", "Give one that has.");
            }

            // The page brings its own style sheet and nothing else: it is let in by its hash.
            var hash = Convert.ToBase64String(SHA256.HashData(Encoding.UTF8.GetBytes(MonthlyEvidencePage.StyleOf(report))));
            context.Response.Headers.ContentSecurityPolicy =
                $"default-src 'none'; style-src 'sha256-{hash}'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
            context.Response.ContentType = "text/html; charset=utf-8";
            foreach (var piece in MonthlyEvidencePage.Pieces(report))
            {
                await context.Response.WriteAsync(piece, Encoding.UTF8, cancellationToken);
            }

            return Results.Empty;
        }
        finally
        {
            services.Gate.Leave();
        }
    }

    private static async Task SendAsync(HttpContext context, string folder, string name, CancellationToken cancellationToken)
    {
        context.Response.ContentType = MediaTypeNames.Application.Zip;
        context.Response.Headers.ContentDisposition = $"attachment; filename=\"{name}\"";
        try
        {
            await ZipFile.CreateFromDirectoryAsync(folder, context.Response.BodyWriter.AsStream(), CompressionLevel.Fastest, includeBaseDirectory: false, cancellationToken);
        }
        catch (Exception e) when (e is not OperationCanceledException)
        {
            // Half a zip must not look whole: the connection ends without its directory.
            context.Abort();
            throw;
        }
    }

    private static string FileName(EvidenceScope scope, HistoryRange period)
    {
        var name = new string([.. (scope.Id.Length > 0 ? scope.Id : scope.Kind).Select(c => char.IsAsciiLetterOrDigit(c) ? c : '-')]);
        return string.Create(
            CultureInfo.InvariantCulture, $"poewatch-evidence-{name}-{period.From:yyyyMMdd'T'HHmmss'Z'}-{period.To:yyyyMMdd'T'HHmmss'Z'}.zip");
    }
}
