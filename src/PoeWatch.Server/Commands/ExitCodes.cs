namespace PoeWatch.Server.Commands;

/// <summary>What the process tells its caller.</summary>
public static class ExitCodes
{
    public const int Good = 0;

    /// <summary>Something failed that is not the caller's input.</summary>
    public const int Failed = 1;

    /// <summary>Input was refused: command line, settings or design.</summary>
    public const int BadInput = 2;

    /// <summary>What the service needs is not usable: port, data folder, store.</summary>
    public const int NotUsable = 3;
}
