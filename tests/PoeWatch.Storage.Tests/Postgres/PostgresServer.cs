using System.Globalization;
using DotNet.Testcontainers.Builders;
using Npgsql;
using PoeWatch.Storage.Tests.Postgres;
using PoeWatch.TestKit.Postgres;
using Testcontainers.PostgreSql;

[assembly: AssemblyFixture(typeof(PostgresServer))]

namespace PoeWatch.Storage.Tests.Postgres;

/// <summary>One PostgreSQL server for all tests of this assembly, started when the first test asks for a database.</summary>
public sealed class PostgresServer : IAsyncLifetime
{
    private readonly Lazy<Task<TestPostgres>> _server = new(() => TestPostgres.StartAsync(TryContainerAsync, CancellationToken.None));
    private int _databases;

    public ValueTask InitializeAsync() => ValueTask.CompletedTask;

    public Task<TestPostgres> StartedAsync() => _server.Value;

    /// <summary>Connection string of a new, empty database.</summary>
    public async Task<string> NewDatabaseAsync()
    {
        var server = await _server.Value;
        var name = string.Create(CultureInfo.InvariantCulture, $"storage_tests_{Environment.ProcessId}_{Interlocked.Increment(ref _databases)}");
        await ExecuteAsync($"CREATE DATABASE {name} ENCODING 'UTF8' TEMPLATE template0");
        return new NpgsqlConnectionStringBuilder(server.ConnectionString) { Database = name }.ConnectionString;
    }

    public Task DropDatabaseAsync(string connectionString) =>
        ExecuteAsync($"DROP DATABASE IF EXISTS {new NpgsqlConnectionStringBuilder(connectionString).Database} WITH (FORCE)");

    /// <summary>Runs a statement as superuser in the server's own database.</summary>
    public async Task ExecuteAsync(string sql)
    {
        await using var connection = new NpgsqlConnection((await _server.Value).ConnectionString + ";Pooling=false");
        await connection.OpenAsync();
        await using var command = new NpgsqlCommand(sql, connection);
        await command.ExecuteNonQueryAsync();
    }

    public async ValueTask DisposeAsync()
    {
        if (_server.IsValueCreated && _server.Value.IsCompletedSuccessfully)
        {
            await (await _server.Value).DisposeAsync();
        }
    }

    // A client without an engine behind it does not count, nor does an engine that cannot fetch the image.
    private static async Task<(TestPostgres? Server, string WhyNot)> TryContainerAsync(CancellationToken cancellationToken)
    {
        try
        {
            var container = new PostgreSqlBuilder("postgres:15-alpine").Build();
            await container.StartAsync(cancellationToken);
            return (new TestPostgres(container.GetConnectionString(), container), "");
        }
        catch (Exception e) when (e is DockerUnavailableException or Docker.DotNet.DockerApiException or HttpRequestException or TimeoutException)
        {
            return (null, e.Message);
        }
    }
}
