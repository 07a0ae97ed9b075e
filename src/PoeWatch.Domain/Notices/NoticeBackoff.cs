namespace PoeWatch.Domain.Notices;

/// <summary>How long a lane waits after failures. Pure.</summary>
public static class NoticeBackoff
{
    /// <summary><paramref name="first"/> after one failure, then doubled with each, up to <paramref name="most"/>.</summary>
    public static TimeSpan Wait(int failures, TimeSpan first, TimeSpan most)
    {
        var longer = first * Math.Pow(2, Math.Clamp(failures - 1, 0, 20));
        return longer < most ? longer : most;
    }
}
