namespace PoeWatch.Storage.Sqlite;

/// <summary>Where the embedded store lies.</summary>
/// <param name="Path">
/// The database file, such as <c>data/history.db</c>. Its folder is made where it is missing; beside it SQLite keeps <c>-wal</c> and
/// <c>-shm</c> files and the store a <c>.lock</c> file. A local disk: SQLite's shared memory does not work over network file systems.
/// </param>
public sealed record SqliteStoreOptions(string Path);
