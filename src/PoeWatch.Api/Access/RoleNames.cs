namespace PoeWatch.Api.Access;

/// <summary>The written names of roles. Pure.</summary>
public static class RoleNames
{
    public static string Of(ApiRole role) => role switch
    {
        ApiRole.Reader => "reader",
        ApiRole.Operator => "operator",
        ApiRole.Designer => "designer",
        _ => "unknown",
    };

    /// <summary><see cref="ApiRole.Unknown"/> where the name is none.</summary>
    public static ApiRole Parse(string? name) => name switch
    {
        "reader" => ApiRole.Reader,
        "operator" => ApiRole.Operator,
        "designer" => ApiRole.Designer,
        _ => ApiRole.Unknown,
    };
}
