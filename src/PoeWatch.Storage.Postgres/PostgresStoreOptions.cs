namespace PoeWatch.Storage.Postgres;

/// <summary>Which PostgreSQL database is the store (version 15 or newer, encoding UTF8).</summary>
/// <param name="ConnectionString">Npgsql's form, such as <c>Host=db;Database=poewatch;Username=poewatch;Password=…</c>. Holds a secret: never logged.</param>
/// <param name="ReadAgain">Reads the connection string again, for its password; null where it cannot change.</param>
public sealed record PostgresStoreOptions(string ConnectionString, Func<string>? ReadAgain = null)
{
    // A record would print the password.
    public override string ToString() => nameof(PostgresStoreOptions);
}
