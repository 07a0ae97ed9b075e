using Microsoft.AspNetCore.Diagnostics;
using Microsoft.AspNetCore.Http.HttpResults;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Problems;

/// <summary>Turns what was thrown into an answer: a body or parameter that cannot be read, a store that does not answer, a fault of ours.</summary>
internal sealed partial class ApiExceptionHandler(ILogger<ApiExceptionHandler> logger) : IExceptionHandler
{
    private const int RetryAfterSeconds = 10;

    public async ValueTask<bool> TryHandleAsync(HttpContext context, Exception exception, CancellationToken cancellationToken)
    {
        if (exception is OperationCanceledException && context.RequestAborted.IsCancellationRequested)
        {
            context.Response.StatusCode = StatusCodes.Status499ClientClosedRequest;
            return true;
        }

        await Answer(context, exception).ExecuteAsync(context);
        return true;
    }

    private ProblemHttpResult Answer(HttpContext context, Exception exception)
    {
        switch (exception)
        {
            case BadHttpRequestException { StatusCode: StatusCodes.Status413PayloadTooLarge }:
                return Problem.Of(ProblemTypes.TooLarge, "The body is too large.", "body", null, "Send a smaller one.");
            case BadHttpRequestException { StatusCode: StatusCodes.Status415UnsupportedMediaType }:
                return Problem.Of(
                    ProblemTypes.WrongMedia, "The body's media type is not taken here.", "Content-Type", context.Request.ContentType, "Send application/json.");
            case BadHttpRequestException bad:
                var reason = bad.InnerException?.Message ?? bad.Message;
                return Problem.BadValue(context.Request.Path + context.Request.QueryString, null, reason, "Correct the value: a time is written 2026-11-24T20:00:00Z, a step 15m; the OpenAPI document shows every form.");
            case StoreException { IsTransient: true } store:
                StoreDidNotAnswer(context.Request.Path, store);
                context.Response.Headers.RetryAfter = $"{RetryAfterSeconds}";
                return Problem.Of(ProblemTypes.StoreUnavailable, "The store does not answer.", "store", null, "Try again; health tells how it stands.");
            case StoreException store:
                StoreDidNotAnswer(context.Request.Path, store);
                return Problem.Of(ProblemTypes.StoreBroken, "The store cannot be used.", "store", null, "Look at health and at the log of the service.");
            default:
                Failed(context.Request.Path, exception);
                return Problem.Of(ProblemTypes.OurFault, "The service failed in this call.", context.Request.Path, null, "Report it with the trace id.");
        }
    }

    [LoggerMessage(4001, LogLevel.Warning, "The store did not answer a call of {Path}")]
    private partial void StoreDidNotAnswer(string path, Exception exception);

    [LoggerMessage(4002, LogLevel.Error, "A call of {Path} failed")]
    private partial void Failed(string path, Exception exception);
}
