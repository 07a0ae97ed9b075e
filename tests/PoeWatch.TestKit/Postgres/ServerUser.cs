namespace PoeWatch.TestKit.Postgres;

/// <summary>PostgreSQL refuses to work as root: its programs then run as another user. Linux only; elsewhere tests do not run as root.</summary>
internal sealed record ServerUser(string Name)
{
    /// <summary>Null where this process is not root.</summary>
    internal static ServerUser? ForThisProcess()
    {
        if (!OperatingSystem.IsLinux() || !Environment.IsPrivilegedProcess)
        {
            return null;
        }

        var users = File.ReadLines("/etc/passwd").Select(line => line.Split(':')[0]).ToHashSet();
        return new[] { "postgres", "nobody" }.FirstOrDefault(users.Contains) is { } name
            ? new ServerUser(name)
            : throw new InvalidOperationException("The tests run as root, and there is no user 'postgres' or 'nobody' to run PostgreSQL as.");
    }

    /// <summary>The command as this user.</summary>
    internal IReadOnlyList<string> Wrap(IReadOnlyList<string> command) => ["setpriv", $"--reuid={Name}", $"--regid={GroupId()}", "--clear-groups", "--", .. command];

    private string GroupId() => File.ReadLines("/etc/passwd").Select(line => line.Split(':')).First(fields => fields[0] == Name)[3];
}
