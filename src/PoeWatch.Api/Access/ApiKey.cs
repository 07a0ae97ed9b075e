namespace PoeWatch.Api.Access;

/// <summary>What the holder of a key may do; each role includes the one before it.</summary>
public enum ApiRole
{
    Unknown = 0,

    /// <summary>Reads everything.</summary>
    Reader = 1,

    /// <summary>Also sets the operator state of alarms.</summary>
    Operator = 2,

    /// <summary>Also applies a changed design.</summary>
    Designer = 3,
}

/// <summary>One key as it stands in the settings: the secret itself is never kept.</summary>
/// <param name="Name">Who holds it; this name stands beside every alarm that is acknowledged with it. Letters, digits, <c>-</c> and <c>_</c>.</param>
/// <param name="Hash">As <see cref="HashedKey.Create"/> writes it.</param>
public sealed record ApiKey(string Name, ApiRole Role, string Hash);

/// <summary>Who makes a call.</summary>
public sealed record Caller(string Name, ApiRole Role)
{
    /// <summary>Whoever sits at the machine itself, where no key is asked for.</summary>
    public static Caller Local { get; } = new("local operator", ApiRole.Designer);
}
