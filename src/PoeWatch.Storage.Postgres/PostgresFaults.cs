using System.Net.Sockets;
using Npgsql;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Storage.Postgres;

/// <summary>Turns what Npgsql throws into a <see cref="StoreException"/> with a remedy. Pure.</summary>
internal static class PostgresFaults
{
    // Classes of SQLSTATE (PostgreSQL manual, appendix A) after which the same request can succeed: connection, transaction rollback,
    // insufficient resources, operator intervention, system error.
    private static readonly string[] TransientClasses = ["08", "40", "53", "57", "58"];

    /// <summary>True for what a database or the way to it can cause; anything else is a bug and passes.</summary>
    internal static bool IsFault(Exception e) => e is NpgsqlException or SocketException or TimeoutException or IOException;

    /// <param name="place">Database, server and user as people know them; no password.</param>
    internal static StoreException Translate(Exception e, string place)
    {
        var state = (e as PostgresException)?.SqlState;
        var (problem, remedy) = state switch
        {
            null => ("does not answer", "Check that the server runs and that host, port and firewall are right."),
            PostgresErrorCodes.InvalidPassword or PostgresErrorCodes.InvalidAuthorizationSpecification => (
                "refuses the user or its password", "Correct the connection string, or pg_hba.conf on the server."),
            PostgresErrorCodes.InvalidCatalogName => ("does not exist", "Create it: CREATE DATABASE name ENCODING 'UTF8'."),
            PostgresErrorCodes.InsufficientPrivilege => (
                "does not allow what is needed", "Make the user owner of the database, or grant CREATE on its schema and all rights on its tables."),
            PostgresErrorCodes.DiskFull => ("is on a full disk", "Free space on the server's disk."),
            PostgresErrorCodes.TooManyConnections => ("has no connection left", "Raise max_connections, or end other clients."),
            PostgresErrorCodes.CannotConnectNow or PostgresErrorCodes.AdminShutdown or PostgresErrorCodes.CrashShutdown => (
                "is starting or stopping", "It passes by itself; otherwise start the server."),
            PostgresErrorCodes.UndefinedTable or PostgresErrorCodes.UndefinedColumn or PostgresErrorCodes.DatatypeMismatch => (
                "has another schema than this software", "Use the newest software with it; do not change its tables by hand."),
            PostgresErrorCodes.DataCorrupted or PostgresErrorCodes.IndexCorrupted => ("is damaged", "Stop the service and restore a backup."),
            PostgresErrorCodes.ReadOnlySqlTransaction => ("is read-only, a standby perhaps", "Point the connection string at the primary server."),
            _ => ("refused the request", "See the reason."),
        };
        return new StoreException($"The database {place} {problem}. {remedy} ({state ?? e.GetType().Name}: {Reason(e)})", IsTransient(e, state), e);
    }

    // A standby can be promoted, and stored numbers of elements are asked for again after a failure: both heal by trying again.
    private static bool IsTransient(Exception e, string? state) => state switch
    {
        // Of several servers none takes writes now; each says why.
        null when e.InnerException is AggregateException all => all.InnerExceptions.All(one => IsTransient(one, (one as PostgresException)?.SqlState)),
        null => e is not NpgsqlException { InnerException: not (null or SocketException or TimeoutException or IOException) },
        PostgresErrorCodes.ReadOnlySqlTransaction or PostgresErrorCodes.ForeignKeyViolation => true,
        _ => ((PostgresException)e).IsTransient || TransientClasses.Contains(state[..2]),
    };

    private static string Reason(Exception e) => e is PostgresException p ? p.MessageText : e.Message;
}
