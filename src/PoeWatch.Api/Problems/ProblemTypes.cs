using System.Collections.Frozen;

namespace PoeWatch.Api.Problems;

/// <summary>One kind of problem that an answer can name (RFC 9457): its short name, its HTTP status and its title.</summary>
/// <param name="Meaning">For people who follow the type's address.</param>
internal sealed record ProblemType(string Code, int Status, string Title, string Meaning)
{
    /// <summary>The problem type: an address of this service that explains it.</summary>
    public string Address => $"/problems/{Code}";
}

/// <summary>Every kind of problem that the API answers with.</summary>
internal static class ProblemTypes
{
    public static readonly ProblemType BadValue = new(
        "bad-value", 400, "A value cannot be read", "A parameter or a field of the body is missing, malformed or out of its bounds.");

    public static readonly ProblemType BadCursor = new(
        "bad-cursor", 400, "The cursor is not one of this list", "Cursors come from 'nextCursor' of the same list. Start again without one.");

    public static readonly ProblemType NoKey = new(
        "no-key", 401, "A key is needed", "Send 'Authorization: Bearer' with a key that the settings of the service know.");

    public static readonly ProblemType RoleTooLow = new(
        "role-too-low", 403, "The key's role does not allow this", "Reading needs a reader's key, alarms an operator's, the design a designer's.");

    public static readonly ProblemType NameNotServed = new(
        "name-not-served", 421, "The service is not called by this name",
        "The Host header carries a name that the settings do not list. This keeps foreign pages from reaching the service under a name of theirs.");

    public static readonly ProblemType ForeignOrigin = new(
        "foreign-origin", 403, "The call comes from a foreign page", "Calls that change something are taken from the dashboard itself or from programs.");

    public static readonly ProblemType UnstatedProxy = new(
        "unstated-proxy", 403, "A proxy stands in front that the settings do not state",
        "The call was passed on by a proxy, but the settings say that only this machine can reach the service.");

    public static readonly ProblemType NotFound = new(
        "not-found", 404, "There is no such thing", "The design in force has no element of that name, or the address does not exist.");

    public static readonly ProblemType WrongMethod = new(
        "wrong-method", 405, "The address does not take this method", "See the OpenAPI document for what it takes.");

    public static readonly ProblemType NotAllowedNow = new(
        "not-allowed-now", 409, "The alarm does not allow that", "The operator state cannot change like that in the alarm's present state.");

    public static readonly ProblemType WrongMedia = new(
        "wrong-media", 415, "The body is of another kind", "Calls that change something carry a JSON body, a design a YAML body.");

    public static readonly ProblemType TooLarge = new(
        "too-large", 413, "The body is too large", "A design is at most 4 MiB, any other body 64 KiB.");

    public static readonly ProblemType TooManyPoints = new(
        "too-many-points", 422, "The answer would hold too many points", "Ask for a shorter range or a longer step, or take the CSV export.");

    public static readonly ProblemType PeriodTooLong = new(
        "period-too-long", 422, "The period is too long", "Export it in parts.");

    public static readonly ProblemType DesignRefused = new(
        "design-refused", 422, "The design is refused whole", "Every problem is listed with its line and column. The design in force stays.");

    public static readonly ProblemType Busy = new(
        "busy", 503, "Too much at once", "A bound of the service is reached. Try again in a little while.");

    public static readonly ProblemType StoreUnavailable = new(
        "store-unavailable", 503, "The store does not answer", "History and alarms cannot be read or kept now; polling goes on. See health.");

    public static readonly ProblemType StoreBroken = new(
        "store-broken", 500, "The store cannot be used", "A retry will not help. See health and the log of the service.");

    public static readonly ProblemType OurFault = new(
        "our-fault", 500, "The service failed", "This is a fault of the service, not of the call. Its log has the details under the trace id.");

    /// <summary>All of them by short name.</summary>
    public static readonly FrozenDictionary<string, ProblemType> All = new[]
    {
        BadValue, BadCursor, NoKey, RoleTooLow, NameNotServed, ForeignOrigin, UnstatedProxy, NotFound, WrongMethod, NotAllowedNow, WrongMedia,
        TooLarge, TooManyPoints, PeriodTooLong, DesignRefused, Busy, StoreUnavailable, StoreBroken, OurFault,
    }.ToFrozenDictionary(type => type.Code, StringComparer.Ordinal);
}
