using Microsoft.AspNetCore.Http.HttpResults;

namespace PoeWatch.Api.Problems;

/// <summary>Makes answers that say what is wrong: where, which value, what to do (RFC 9457, with the members place, value and remedy).</summary>
internal static class Problem
{
    public static ProblemHttpResult Of(
        ProblemType type, string detail, string place, string? value, string remedy, params (string Name, object? Value)[] more)
    {
        var extensions = new Dictionary<string, object?>(StringComparer.Ordinal)
        {
            ["place"] = place,
            ["value"] = value,
            ["remedy"] = remedy,
        };
        foreach (var (name, member) in more)
        {
            extensions[name] = member;
        }

        return TypedResults.Problem(detail: $"{detail} {remedy}", statusCode: type.Status, title: type.Title, type: type.Address, extensions: extensions);
    }

    public static ProblemHttpResult BadValue(string place, string? value, string detail, string remedy) =>
        Of(ProblemTypes.BadValue, detail, place, value, remedy);

    public static ProblemHttpResult NotFound(string place, string value, string what, string remedy) =>
        Of(ProblemTypes.NotFound, $"The design in force has no {what} '{value}'.", place, value, remedy);
}
