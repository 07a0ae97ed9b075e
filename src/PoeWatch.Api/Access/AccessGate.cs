using System.Net;
using Microsoft.AspNetCore.Http.HttpResults;
using PoeWatch.Api.Problems;

namespace PoeWatch.Api.Access;

/// <summary>Says what an address asks of its caller; addresses under /api without one ask for a reader.</summary>
/// <param name="Role">Null where anybody may call.</param>
internal sealed record AccessNeed(ApiRole? Role);

/// <summary>
/// Stands before every address: by which name we are called (against DNS rebinding), from which page (against forged calls), with which key.
/// </summary>
internal sealed partial class AccessGate(RequestDelegate next, ApiOptions options, KeyRing keys, ILogger<AccessGate> logger)
{
    private static readonly string[] ChangingMedia = ["application/json", "application/yaml"];

    private readonly HashSet<string> _servedNames = new(options.ServedNames.Append("localhost"), StringComparer.OrdinalIgnoreCase);

    public async Task InvokeAsync(HttpContext context)
    {
        var refusal = NameRefusal(context.Request) ?? ProxyRefusal(context.Request) ?? OriginRefusal(context.Request) ?? await KeyRefusalAsync(context);
        if (refusal is null)
        {
            await next(context);
            return;
        }

        Refused(context.Request.Method, context.Request.Path, refusal.ProblemDetails.Title ?? "");
        await refusal.ExecuteAsync(context);
    }

    /// <summary>Who calls, as the gate found out.</summary>
    public static Caller CallerOf(HttpContext context) => context.Features.Get<Caller>() ?? Caller.Local;

    private ProblemHttpResult? NameRefusal(HttpRequest request)
    {
        var name = request.Host.Host;

        // A name can be pointed anywhere by its owner, an address cannot: so addresses are always taken.
        return name.Length > 0 && (_servedNames.Contains(name) || IPAddress.TryParse(name, out _))
            ? null
            : Problem.Of(
                ProblemTypes.NameNotServed, "The service is not known under this name.", "Host", name, "Add the name to servedNames in the settings.");
    }

    private ProblemHttpResult? ProxyRefusal(HttpRequest request) =>
        options.AsksForKey || !(request.Headers.ContainsKey("X-Forwarded-For") || request.Headers.ContainsKey("Forwarded"))
            ? null
            : Problem.Of(
                ProblemTypes.UnstatedProxy,
                "The call was passed on by a proxy, and no key protects the service.",
                "Forwarded",
                null,
                "State behindTlsProxy: true in the settings and give keys.");

    private static ProblemHttpResult? OriginRefusal(HttpRequest request)
    {
        if (HttpMethods.IsGet(request.Method) || HttpMethods.IsHead(request.Method) || HttpMethods.IsOptions(request.Method))
        {
            return null;
        }

        var origin = request.Headers.Origin.ToString();
        var isForeign = origin.Length > 0
            && !(Uri.TryCreate(origin, UriKind.Absolute, out var page)
                && string.Equals(page.Authority, request.Host.ToString(), StringComparison.OrdinalIgnoreCase));
        if (isForeign || request.Headers["Sec-Fetch-Site"].ToString() is "cross-site" or "same-site")
        {
            return Problem.Of(ProblemTypes.ForeignOrigin, "A page of another origin made this call.", "Origin", origin, "Use the dashboard of this service.");
        }

        // A page elsewhere cannot send a DELETE without the browser asking us first; it carries no body.
        if (HttpMethods.IsDelete(request.Method))
        {
            return null;
        }

        // A page elsewhere cannot send these two without the browser asking us first, and we never say yes.
        var media = request.ContentType?.Split(';')[0].Trim() ?? "";
        return ChangingMedia.Contains(media, StringComparer.OrdinalIgnoreCase)
            ? null
            : Problem.Of(
                ProblemTypes.WrongMedia, "Calls that change something carry JSON, a design YAML.", "Content-Type", media, "Send application/json.");
    }

    private async ValueTask<ProblemHttpResult?> KeyRefusalAsync(HttpContext context)
    {
        var need = NeedOf(context);
        if (need is null || !options.AsksForKey)
        {
            return null;
        }

        var header = context.Request.Headers.Authorization.ToString();
        const string bearer = "Bearer ";
        var (outcome, caller) = header.StartsWith(bearer, StringComparison.OrdinalIgnoreCase)
            ? await keys.FindAsync(header[bearer.Length..].Trim(), context.RequestAborted)
            : (KeyOutcome.Refused, null);
        if (outcome == KeyOutcome.Busy)
        {
            return Problem.Of(ProblemTypes.Busy, "Too many keys wait to be checked.", "Authorization", null, "Try again in a few seconds.");
        }

        if (caller is null)
        {
            context.Response.Headers.WWWAuthenticate = "Bearer";
            return Problem.Of(ProblemTypes.NoKey, "No key, or one that is not known.", "Authorization", null, "Send 'Authorization: Bearer' with your key.");
        }

        context.Features.Set(caller);
        return caller.Role >= need
            ? null
            : Problem.Of(
                ProblemTypes.RoleTooLow, $"The key of {caller.Name} does not allow this.", "Authorization", RoleNames.Of(caller.Role), $"Use a key with the role {RoleNames.Of(need.Value)}.");
    }

    private static ApiRole? NeedOf(HttpContext context)
    {
        var stated = context.GetEndpoint()?.Metadata.GetMetadata<AccessNeed>();
        return stated is not null ? stated.Role : ApiRole.Reader;
    }

    [LoggerMessage(4003, LogLevel.Information, "Refused {Method} {Path}: {Reason}")]
    private partial void Refused(string method, string path, string reason);
}
