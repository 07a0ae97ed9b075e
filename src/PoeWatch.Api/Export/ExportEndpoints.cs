using System.Collections.Frozen;
using System.Globalization;
using System.Net.Mime;
using System.Text;
using Microsoft.AspNetCore.Http.HttpResults;
using PoeWatch.Api.Endpoints;
using PoeWatch.Api.History;
using PoeWatch.Api.Problems;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Api.Export;

/// <summary>The auditor's export of a period.</summary>
internal static class ExportEndpoints
{
    private const string Media = "text/csv; charset=utf-8; header=present";

    public static void Map(RouteGroupBuilder api) => api.MapGet("/export.csv", ExportAsync)
        .WithSummary("Raw readings of [from, to) as CSV (RFC 4180) with provenance, quality and gaps; of a pole, a port or the whole site")
        .WithTags("history").Produces<string>(200, MediaTypeNames.Text.Csv).ProducesProblem(404).ProducesProblem(422).ProducesProblem(503);

    private static async Task<IResult> ExportAsync(
        HttpContext context, Moment? from, Moment? to, string? pole, string? port, HistoryServices services, CancellationToken cancellationToken)
    {
        var design = services.Site.Current.Design;
        var (period, problem) = HistoryRange.Of(from, to, services.Time.GetUtcNow(), services.Options.ExportPeriodMax);
        var (scope, scopeProblem) = ScopeOf(design, pole, port);
        if ((problem ?? scopeProblem) is { } wrong)
        {
            return wrong;
        }

        if (!await services.Gate.TryEnterAsync(cancellationToken))
        {
            return HistoryGate.AllTaken();
        }

        try
        {
            await SendAsync(context, new HistoryCsv(services.Store, design, scope!, period), scope!, period, cancellationToken);
            return Results.Empty;
        }
        finally
        {
            services.Gate.Leave();
        }
    }

    private static async Task SendAsync(HttpContext context, HistoryCsv csv, ExportScope scope, HistoryRange period, CancellationToken cancellationToken)
    {
        // The first piece is read before the answer starts, so that a store that does not answer is still a proper problem.
        await using var pieces = csv.PiecesAsync(cancellationToken).GetAsyncEnumerator(cancellationToken);
        var hasPiece = await pieces.MoveNextAsync();
        context.Response.ContentType = Media;
        context.Response.Headers.ContentDisposition = $"attachment; filename=\"{FileName(scope, period)}\"";
        try
        {
            while (hasPiece)
            {
                await context.Response.WriteAsync(pieces.Current, Encoding.UTF8, cancellationToken);
                hasPiece = await pieces.MoveNextAsync();
            }
        }
        catch (Exception e) when (e is not OperationCanceledException)
        {
            // Half a file must not look whole: the connection ends without the last piece and without the end record.
            context.Abort();
            throw;
        }
    }

    private static (ExportScope? Scope, ProblemHttpResult? Problem) ScopeOf(DesignModel design, string? pole, string? port)
    {
        if (pole is not null && port is not null)
        {
            return (null, Problem.BadValue("port", port, "Both a pole and a port are given.", "Give one of them, or none for the whole site."));
        }

        if (port is not null)
        {
            return PsePortRef.TryParse(port, out var reference)
                ? (new ExportScope(port, [reference.PseId], new[] { reference }.ToFrozenSet(), []), null)
                : (null, Problem.BadValue("port", port, "This names no PSE port.", "Write it as id:group/port, such as quay-west:1/7."));
        }

        if (pole is null)
        {
            return (new ExportScope("site", [.. design.Agents.Keys.Order(StringComparer.Ordinal)], null, [.. design.CableRuns.Values.Where(r => r.IsUnmetered).Select(r => r.Id)]), null);
        }

        if (!design.Poles.ContainsKey(pole))
        {
            return (null, PoleEndpoints.NoSuchPole(pole));
        }

        var subject = HistorySubject.OfPole(design, pole);
        return (new ExportScope(
            pole,
            [.. subject.Ports.Select(p => p.PseId).Distinct(StringComparer.Ordinal)],
            subject.Ports.ToFrozenSet(),
            subject.UnmeteredRunIds), null);
    }

    private static string FileName(ExportScope scope, HistoryRange period)
    {
        var name = new string([.. scope.Name.Select(c => char.IsAsciiLetterOrDigit(c) ? c : '-')]);
        return string.Create(
            CultureInfo.InvariantCulture, $"poewatch-{name}-{period.From:yyyyMMdd'T'HHmmss'Z'}-{period.To:yyyyMMdd'T'HHmmss'Z'}.csv");
    }
}
