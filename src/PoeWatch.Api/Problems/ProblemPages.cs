using PoeWatch.Api.Access;

namespace PoeWatch.Api.Problems;

/// <summary>Explains a kind of problem at the address that its type gives.</summary>
internal static class ProblemPages
{
    public static void Map(IEndpointRouteBuilder app) => app.MapGet(
            "/problems/{code}",
            (string code) => ProblemTypes.All.TryGetValue(code, out var type)
                ? Results.Text($"{type.Title} (HTTP {type.Status})\n\n{type.Meaning}\n")
                : Results.NotFound())
        .WithMetadata(new AccessNeed(null)).ExcludeFromDescription();
}
