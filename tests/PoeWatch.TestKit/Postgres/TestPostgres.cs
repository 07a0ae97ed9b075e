namespace PoeWatch.TestKit.Postgres;

/// <summary>
/// The PostgreSQL server of a test run, taken from the first place that has one: the connection string in POEWATCH_TEST_POSTGRES, a
/// container where the caller can start one, binaries of this machine. Where none has, the tests fail and say what to install: they are
/// never skipped.
/// </summary>
public sealed class TestPostgres : IAsyncDisposable
{
    /// <summary>Name of the environment variable with the connection string of a superuser of an empty server.</summary>
    public const string Variable = "POEWATCH_TEST_POSTGRES";

    private readonly IAsyncDisposable? _owned;

    public TestPostgres(string connectionString, IAsyncDisposable? owned = null, PrivatePostgres? local = null)
    {
        ConnectionString = connectionString;
        _owned = owned ?? local;
        Local = local;
    }

    public string ConnectionString { get; }

    /// <summary>The server where it is ours to stop and start; else null.</summary>
    public PrivatePostgres? Local { get; }

    /// <param name="startContainer">Starts a container, or returns why it cannot; null where the caller knows no containers.</param>
    public static async Task<TestPostgres> StartAsync(
        Func<CancellationToken, Task<(TestPostgres? Server, string WhyNot)>>? startContainer, CancellationToken cancellationToken)
    {
        if (Environment.GetEnvironmentVariable(Variable) is { Length: > 0 } given)
        {
            return new TestPostgres(given);
        }

        var (container, whyNot) = startContainer is null ? (null, "not tried") : await startContainer(cancellationToken);
        if (container is not null)
        {
            return container;
        }

        if (PostgresBinaries.FindFolder() is not { } binaries)
        {
            throw new InvalidOperationException(
                $"These tests need PostgreSQL. Set {Variable} to a connection string, start a Docker engine ({whyNot}), or install the server "
                + "(Debian and Ubuntu: apt-get install postgresql; Fedora: dnf install postgresql-server; macOS: brew install postgresql).");
        }

        var local = await PrivatePostgres.StartNewAsync(binaries, cancellationToken);
        return new TestPostgres(local.ConnectionString, local: local);
    }

    public ValueTask DisposeAsync() => _owned?.DisposeAsync() ?? ValueTask.CompletedTask;
}
