using PoeWatch.Api.Problems;

namespace PoeWatch.Api.Endpoints;

/// <summary>
/// Refuses a parameter that the address does not know: a filter with a typing error would else show everything and look like an answer.
/// Thread safe.
/// </summary>
internal static class KnownQuery
{
    public static ValueTask<object?> RefuseUnknownAsync(EndpointFilterInvocationContext context, EndpointFilterDelegate next)
    {
        var http = context.HttpContext;
        if (http.Request.Query.Count == 0 || http.GetEndpoint()?.Metadata.GetMetadata<QueryNames>() is not { } known)
        {
            return next(context);
        }

        var unknown = http.Request.Query.Keys.FirstOrDefault(name => !known.Names.Contains(name, StringComparer.OrdinalIgnoreCase));
        return unknown is null
            ? next(context)
            : ValueTask.FromResult<object?>(Problem.BadValue(
                unknown,
                http.Request.Query[unknown],
                $"This address has no parameter '{unknown}'.",
                known.Names.Length == 0 ? "Leave it out." : $"It has: {string.Join(", ", known.Names)}."));
    }

    /// <summary>Notes the parameters of every address in the group, by the method that answers it.</summary>
    public static void Note(EndpointBuilder builder)
    {
        if (builder.Metadata.OfType<System.Reflection.MethodInfo>().FirstOrDefault() is not { } method)
        {
            return;
        }

        var inPath = (builder as RouteEndpointBuilder)?.RoutePattern.Parameters.Select(p => p.Name) ?? [];
        builder.Metadata.Add(new QueryNames(
            [.. method.GetParameters().Where(p => IsRead(p.ParameterType)).Select(p => p.Name!).Except(inPath, StringComparer.OrdinalIgnoreCase)]));
    }

    private static bool IsRead(Type type)
    {
        var bare = Nullable.GetUnderlyingType(type) ?? type;
        return bare == typeof(string) || bare == typeof(int) || bare == typeof(bool) || bare == typeof(Moment) || bare == typeof(StepLength);
    }

    private sealed record QueryNames(string[] Names);
}
