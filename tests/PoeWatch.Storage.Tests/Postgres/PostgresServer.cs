using System.Globalization;
using DotNet.Testcontainers.Builders;
using Npgsql;
using PoeWatch.Storage.Tests.Postgres;
using PoeWatch.TestKit.Postgres;
using Testcontainers.PostgreSql;

[assembly: AssemblyFixture(typeof(PostgresServer))]

namespace PoeWatch.Storage.Tests.Postgres;

/// <summary>One PostgreSQL server for all tests of this assembly, started when the first test asks for a database.</summary>
public class PostgresServer : IAsyncLifetime
{
    private readonly Lazy<Task<TestPostgres>> _server;
    private int _databases;

    public PostgresServer() => _server = new(StartAsync);

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
        GC.SuppressFinalize(this);
        if (_server.IsValueCreated && _server.Value.IsCompletedSuccessfully)
        {
            await (await _server.Value).DisposeAsync();
        }
    }

    private protected virtual Task<TestPostgres> StartAsync() => TestPostgres.StartAsync(TryContainerAsync, CancellationToken.None);

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

/// <summary>A server for the many short lives of the model: from this machine's binaries it syncs nothing; from anywhere else it is as it is.</summary>
public sealed class PostgresModelServer : PostgresServer
{
    private protected override async Task<TestPostgres> StartAsync()
    {
        if (Environment.GetEnvironmentVariable(TestPostgres.Variable) is { Length: > 0 } || PostgresBinaries.FindFolder() is not { } binaries)
        {
            return await base.StartAsync();
        }

        var local = await PrivatePostgres.StartNewAsync(binaries, CancellationToken.None, isDurable: false);
        return new TestPostgres(local.ConnectionString + ";No Reset On Close=true", local: local);
    }
}
