using Microsoft.Data.Sqlite;

namespace PoeWatch.Storage.Sqlite;

/// <summary>Short forms of what every statement needs.</summary>
internal static class SqliteCommands
{
    /// <summary>A statement with its parameters, in the order $1, $2, …</summary>
    internal static SqliteCommand Command(this SqliteConnection connection, string sql, params ReadOnlySpan<object?> values)
    {
        var command = connection.CreateCommand();
        command.CommandText = sql;
        for (var i = 0; i < values.Length; i++)
        {
            command.Parameters.Add(new SqliteParameter { ParameterName = $"${i + 1}", Value = values[i] ?? DBNull.Value });
        }

        return command;
    }

    /// <summary>Sets the parameters of a statement that is run again.</summary>
    internal static SqliteCommand With(this SqliteCommand command, params ReadOnlySpan<object?> values)
    {
        for (var i = 0; i < values.Length; i++)
        {
            command.Parameters[i].Value = values[i] ?? DBNull.Value;
        }

        return command;
    }

    /// <summary>All rows of a query.</summary>
    internal static List<T> Rows<T>(this SqliteCommand command, Func<SqliteDataReader, T> read, CancellationToken cancellationToken)
    {
        using var reader = command.ExecuteReader();
        var rows = new List<T>();
        while (reader.Read())
        {
            cancellationToken.ThrowIfCancellationRequested();
            rows.Add(read(reader));
        }

        return rows;
    }
}
