using System.Collections.Concurrent;
using System.Collections.Immutable;
using Microsoft.Data.Sqlite;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Sqlite;

/// <content>Draw history: what is polled goes to the journal, a row per poll.</content>
public sealed partial class SqliteStore
{
    private readonly ConcurrentDictionary<string, long> _pseIds = new();

    /// <inheritdoc/>
    public async Task AppendAsync(IReadOnlyList<SwitchReading> readings, CancellationToken cancellationToken)
    {
        if (readings.Count == 0)
        {
            return;
        }

        var newPseIds = new Dictionary<string, long>();
        var written = await WriteAsync((connection, _) => Append(connection, readings, newPseIds, cancellationToken), cancellationToken);

        // Only now: a rolled-back row's number must not be remembered.
        foreach (var (name, id) in newPseIds)
        {
            _pseIds[name] = id;
        }

        if (written < readings.Count)
        {
            LogRepeated(readings.Count - written, readings.Count);
        }
    }

    /// <inheritdoc/>
    public IAsyncEnumerable<SwitchReading> ReadAsync(string pseId, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken) =>
        _reader.ReadAsync(pseId, from, to, cancellationToken);

    /// <inheritdoc/>
    public IAsyncEnumerable<PortHistoryPage> ReadPortsAsync(
        string pseId, IReadOnlyList<PsePortRef> ports, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken) =>
        _reader.ReadPortsAsync(pseId, ports, from, to, cancellationToken);

    /// <inheritdoc/>
    public Task<IReadOnlyList<SwitchReading>> ReadLatestAsync(CancellationToken cancellationToken) => _reader.ReadLatestAsync(cancellationToken);

    private int Append(
        SqliteConnection connection, IReadOnlyList<SwitchReading> readings, Dictionary<string, long> newPseIds, CancellationToken cancellationToken)
    {
        using var insert = connection.Command(
            "INSERT INTO poll (pse_id, at_us, outcome, detail, names_id, payload) VALUES ($1, $2, $3, $4, $5, $6) ON CONFLICT DO NOTHING",
            0L, 0L, 0L, null, null, Array.Empty<byte>());
        var namesIds = new Dictionary<ImmutableDictionary<PsePortRef, string>, long>(ReferenceEqualityComparer.Instance);
        var written = 0;
        foreach (var reading in readings)
        {
            cancellationToken.ThrowIfCancellationRequested();
            var pse = PseIdOf(connection, reading.PseId, newPseIds);
            if (!namesIds.TryGetValue(reading.InterfaceNames, out var namesId))
            {
                namesId = NamesIdOf(connection, reading.InterfaceNames);
                namesIds.Add(reading.InterfaceNames, namesId);
            }

            var row = PollRow.Of(reading, namesId);
            written += insert.With(
                pse,
                row.AtMicroseconds,
                (long)row.Outcome,
                row.Detail.Length == 0 ? null : row.Detail,
                namesId == 0 ? null : namesId,
                SwitchReadingCodec.Encode(reading, row)).ExecuteNonQuery();
        }

        return written;
    }

    private long PseIdOf(SqliteConnection connection, string name, Dictionary<string, long> newPseIds)
    {
        if (_pseIds.TryGetValue(name, out var id) || newPseIds.TryGetValue(name, out id))
        {
            return id;
        }

        using var command = connection.Command(
            "INSERT INTO pse (name) VALUES ($1) ON CONFLICT DO NOTHING; SELECT id FROM pse WHERE name = $1", name);
        id = (long)command.ExecuteScalar()!;
        newPseIds.Add(name, id);
        return id;
    }

    private static long NamesIdOf(SqliteConnection connection, ImmutableDictionary<PsePortRef, string> names)
    {
        if (names.IsEmpty)
        {
            return 0;
        }

        var packed = InterfaceNamesCodec.Encode(names);
        using var command = connection.Command(
            "INSERT INTO interface_names (hash, names) VALUES ($1, $2) ON CONFLICT DO NOTHING; SELECT id FROM interface_names WHERE hash = $1",
            InterfaceNamesCodec.Hash(packed),
            packed);
        return (long)command.ExecuteScalar()!;
    }
}
