using System.Text;
using Microsoft.AspNetCore.Http.HttpResults;
using PoeWatch.Api.Access;
using PoeWatch.Api.Contracts;
using PoeWatch.Api.Problems;
using PoeWatch.Api.Web;
using PoeWatch.Domain.Design;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Endpoints;

/// <summary>The design in force, its past, and a changed one, applied whole or not at all.</summary>
internal static class DesignEndpoints
{
    public const int DesignBytesMax = 4 * 1024 * 1024;

    public static void Map(RouteGroupBuilder api)
    {
        api.MapGet("/design", InForce).WithSummary("The design in force, with its standing warnings").WithTags("design");
        api.MapGet("/design/versions", VersionsAsync).WithSummary("Every design and when it was in force").WithTags("design");
        api.MapGet("/design/versions/{hash}", VersionAsync).WithSummary("The newest version with that hash, as written").WithTags("design").ProducesProblem(404);
        api.MapPost("/design", ApplyAsync)
            .WithSummary("Check and apply a design (YAML): whole or not at all, without a missed poll")
            .WithTags("design").WithMetadata(new AccessNeed(ApiRole.Designer), new RequestSizeLimit(DesignBytesMax + 1)).Accepts<string>("application/yaml").ProducesProblem(422);
        api.MapPost("/design/reload", ReloadAsync)
            .WithSummary("Read the design file of the service again and apply it")
            .WithTags("design").WithMetadata(new AccessNeed(ApiRole.Designer)).ProducesProblem(422);
    }

    private static Ok<DesignContract> InForce(ISiteView site) => TypedResults.Ok(DesignContract.From(site.Current.Design));

    private static async Task<Results<Ok<Page<DesignVersionSummary>>, ProblemHttpResult>> VersionsAsync(
        ISiteView site, IDesignStore store, int? limit, string? cursor, CancellationToken cancellationToken)
    {
        var versions = await store.ReadDesignsAsync(cancellationToken);
        var (slice, problem) = Paging.Cut(
            "design-versions", versions.Select((version, i) => (version, i)), v => $"{v.i:D9}", limit, cursor);
        return slice is null
            ? problem!
            : TypedResults.Ok(Page<DesignVersionSummary>.From(
                site.Current,
                new Slice<DesignVersionSummary>(
                    [.. slice.Items.Select(v => DesignVersionSummary.From(v.version, versions.ElementAtOrDefault(v.i + 1)))],
                    slice.TotalCount,
                    slice.NextCursor)));
    }

    private static async Task<Results<Ok<DesignVersionContract>, ProblemHttpResult>> VersionAsync(
        IDesignStore store, string hash, CancellationToken cancellationToken)
    {
        var versions = await store.ReadDesignsAsync(cancellationToken);
        for (var i = versions.Count - 1; i >= 0; i--)
        {
            if (versions[i].Hash == hash)
            {
                var found = versions[i];
                return TypedResults.Ok(new DesignVersionContract(
                    found.Hash, found.InForceFrom, versions.ElementAtOrDefault(i + 1)?.InForceFrom, found.AppliedBy, found.Text));
            }
        }

        return Problem.Of(ProblemTypes.NotFound, $"No design with the hash '{hash}' was in force.", "hash", hash, "See /api/v1/design/versions.");
    }

    private static async Task<Results<Ok<DesignAppliedContract>, ProblemHttpResult>> ApplyAsync(
        HttpContext context, IDesignDesk desk, CancellationToken cancellationToken)
    {
        if (await ReadTextAsync(context.Request, cancellationToken) is not { } text)
        {
            return Problem.Of(ProblemTypes.TooLarge, $"A design is at most {DesignBytesMax / 1024 / 1024} MiB.", "body", null, "Send a smaller one.");
        }

        return string.IsNullOrWhiteSpace(text)
            ? Problem.BadValue("body", "", "The body is empty.", "Send the design as YAML with Content-Type: application/yaml.")
            : Answer(await desk.ApplyAsync(text, AccessGate.CallerOf(context).Name, cancellationToken));
    }

    private static async Task<Results<Ok<DesignAppliedContract>, ProblemHttpResult>> ReloadAsync(
        HttpContext context, IDesignDesk desk, CancellationToken cancellationToken) =>
        Answer(await desk.ReloadAsync(AccessGate.CallerOf(context).Name, cancellationToken));

    private static Results<Ok<DesignAppliedContract>, ProblemHttpResult> Answer(DesignApplyResult result)
    {
        IReadOnlyList<DesignProblemContract> problems = [.. result.Problems.Select(DesignProblemContract.From)];
        if (result.IsApplied)
        {
            return TypedResults.Ok(new DesignAppliedContract(result.Hash, problems));
        }

        var first = result.Problems.FirstOrDefault(p => p.Kind == ProblemKind.Error);
        var errorCount = result.Problems.Count(p => p.Kind == ProblemKind.Error);
        return Problem.Of(
            ProblemTypes.DesignRefused,
            $"{errorCount} error(s); the first: {first?.Message ?? "not said"}",
            first?.At.ToString() ?? "body",
            first?.Value,
            first?.Remedy ?? "See the log of the service.",
            ("problems", problems));
    }

    /// <summary>Null where the body is larger than a design may be.</summary>
    private static async Task<string?> ReadTextAsync(HttpRequest request, CancellationToken cancellationToken)
    {
        if (request.ContentLength > DesignBytesMax)
        {
            return null;
        }

        using var whole = new MemoryStream();
        var buffer = new byte[16 * 1024];
        int count;
        while ((count = await request.Body.ReadAsync(buffer, cancellationToken)) > 0)
        {
            if (whole.Length + count > DesignBytesMax)
            {
                return null;
            }

            whole.Write(buffer, 0, count);
        }

        return Encoding.UTF8.GetString(whole.GetBuffer(), 0, (int)whole.Length);
    }
}
