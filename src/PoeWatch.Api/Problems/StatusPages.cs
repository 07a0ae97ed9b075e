using Microsoft.AspNetCore.Diagnostics;

namespace PoeWatch.Api.Problems;

/// <summary>Gives answers without a body (no such address, wrong method) the same form as every other problem.</summary>
internal static class StatusPages
{
    public static Task AnswerAsync(StatusCodeContext context)
    {
        var http = context.HttpContext;
        var place = $"{http.Request.Method} {http.Request.Path}";
        var problem = http.Response.StatusCode switch
        {
            StatusCodes.Status404NotFound => Problem.Of(
                ProblemTypes.NotFound, "There is nothing at this address.", place, null, "See /openapi/v1.json for what there is."),
            StatusCodes.Status405MethodNotAllowed => Problem.Of(
                ProblemTypes.WrongMethod, "The address does not take this method.", place, null, "See /openapi/v1.json for what it takes."),
            StatusCodes.Status415UnsupportedMediaType => Problem.Of(
                ProblemTypes.WrongMedia, "The body's media type is not taken here.", "Content-Type", http.Request.ContentType, "Send application/json."),
            _ => null,
        };
        return problem?.ExecuteAsync(http) ?? Task.CompletedTask;
    }
}
