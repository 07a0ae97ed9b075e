using System.Diagnostics;
using System.Globalization;
using System.Net;
using System.Net.Sockets;
using System.Security.Cryptography;

namespace PoeWatch.TestKit.Postgres;

/// <summary>How <see cref="PrivatePostgres.StopAsync"/> ends the server.</summary>
public enum PostgresStop
{
    Unknown = 0,

    /// <summary>Clients are cut off, what is committed is written out.</summary>
    Fast = 1,

    /// <summary>As after a crash: the next start recovers from the log.</summary>
    Immediate = 2,
}

/// <summary>
/// A PostgreSQL server of the tests' own, from binaries of this machine: a new cluster in a temporary folder, on a free port of 127.0.0.1,
/// with default durability. Stopped and deleted at the end. Not thread safe.
/// </summary>
public sealed class PrivatePostgres : IAsyncDisposable
{
    private readonly string _binaries;
    private readonly string _folder;
    private readonly ServerUser? _user;
    private readonly bool _isDurable;
    private readonly string _password;

    private PrivatePostgres(string binaries, ServerUser? user, bool isDurable, string? password = null)
    {
        (_binaries, _user, _isDurable) = (binaries, user, isDurable);
        _password = password ?? RandomNumberGenerator.GetHexString(24);
        _folder = Directory.CreateTempSubdirectory("poewatch-pg-").FullName;
    }

    /// <summary>Port on 127.0.0.1; the same after a stop and a start.</summary>
    public int Port { get; private set; }

    /// <summary>The superuser's connection string for the database "postgres".</summary>
    public string ConnectionString => string.Create(
        CultureInfo.InvariantCulture,
        $"Host={(_isDurable || OperatingSystem.IsWindows() ? "127.0.0.1" : _folder)};Port={Port};Username=postgres;Password={_password};Database=postgres");

    /// <summary>Makes and starts a server.</summary>
    /// <param name="isDurable">False for a server that syncs nothing and asks for a cheap password: for many short lives of a test that shows nothing of durability.</param>
    /// <exception cref="InvalidOperationException">A program failed; the message holds its output.</exception>
    public static async Task<PrivatePostgres> StartNewAsync(string binaries, CancellationToken cancellationToken, bool isDurable = true)
    {
        var server = new PrivatePostgres(binaries, ServerUser.ForThisProcess(), isDurable);
        try
        {
            await server.InitialiseAsync(cancellationToken);
            await server.StartOnFreePortAsync(cancellationToken);
            return server;
        }
        catch
        {
            server.DeleteFolder();
            throw;
        }
    }

    /// <summary>Starts the stopped server again on its port.</summary>
    public Task StartAsync(CancellationToken cancellationToken) => RunAsync(
        "pg_ctl",
        cancellationToken,
        "-D", Path.Combine(_folder, "data"), "-l", Path.Combine(_folder, "log"), "-w", "-t", "60",
        "-o", $"-p {Port.ToString(CultureInfo.InvariantCulture)} -k {_folder} -c listen_addresses=127.0.0.1 -c lc_messages=C"
        + (_isDurable ? "" : " -c fsync=off -c synchronous_commit=off -c full_page_writes=off"),
        "start");

    public Task StopAsync(PostgresStop stop, CancellationToken cancellationToken) => RunAsync(
        "pg_ctl", cancellationToken, "-D", Path.Combine(_folder, "data"), "-w", "-t", "60", "-m", stop == PostgresStop.Immediate ? "immediate" : "fast", "stop");

    /// <summary>A standby of this server on a port of its own; same password. Whether this one waits for it is a setting of this one (synchronous_standby_names).</summary>
    public async Task<PrivatePostgres> StartStandbyAsync(CancellationToken cancellationToken)
    {
        var standby = new PrivatePostgres(_binaries, _user, _isDurable, _password);
        try
        {
            await standby.HandOverFolderAsync(cancellationToken);
            await RunAsync(
                "pg_basebackup",
                cancellationToken,
                "-D", Path.Combine(standby._folder, "data"), "-R", "-X", "stream", "-c", "fast",
                "-d", string.Create(CultureInfo.InvariantCulture, $"host=127.0.0.1 port={Port} user=postgres password={_password}"));
            await standby.StartOnFreePortAsync(cancellationToken);
            return standby;
        }
        catch
        {
            await standby.DisposeAsync();
            throw;
        }
    }

    /// <summary>Makes a standby the server that takes writes.</summary>
    public Task PromoteAsync(CancellationToken cancellationToken) =>
        RunAsync("pg_ctl", cancellationToken, "-D", Path.Combine(_folder, "data"), "-w", "-t", "60", "promote");

    public async ValueTask DisposeAsync()
    {
        if (File.Exists(Path.Combine(_folder, "data", "postmaster.pid")))
        {
            await StopAsync(PostgresStop.Immediate, CancellationToken.None);
        }

        DeleteFolder();
    }

    private async Task InitialiseAsync(CancellationToken cancellationToken)
    {
        var passwordFile = Path.Combine(_folder, "password");
        await File.WriteAllTextAsync(passwordFile, _password, cancellationToken);
        await HandOverFolderAsync(cancellationToken);
        await RunAsync(
            "initdb",
            cancellationToken,
            "-D", Path.Combine(_folder, "data"), "-U", "postgres", "-E", "UTF8", "--no-locale", "-A", _isDurable ? "scram-sha-256" : "md5", "--pwfile", passwordFile);
    }

    private Task HandOverFolderAsync(CancellationToken cancellationToken) =>
        _user is null ? Task.CompletedTask : ExecuteAsync(["chown", "-R", _user.Name, _folder], cancellationToken);

    // The port is free when it is asked for; another program may be faster, hence three tries.
    private async Task StartOnFreePortAsync(CancellationToken cancellationToken)
    {
        for (var attempt = 1; ; attempt++)
        {
            Port = FreePort();
            try
            {
                await StartAsync(cancellationToken);
                return;
            }
            catch (InvalidOperationException) when (attempt < 3)
            {
            }
        }
    }

    private static int FreePort()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        return ((IPEndPoint)listener.LocalEndpoint).Port;
    }

    private Task RunAsync(string program, CancellationToken cancellationToken, params IReadOnlyList<string> arguments)
    {
        IReadOnlyList<string> command = [Path.Combine(_binaries, program), .. arguments];
        return ExecuteAsync(_user is null ? command : _user.Wrap(command), cancellationToken);
    }

    private async Task ExecuteAsync(IReadOnlyList<string> command, CancellationToken cancellationToken)
    {
        var start = new ProcessStartInfo(command[0], command.Skip(1))
        {
            RedirectStandardOutput = true, RedirectStandardError = true, WorkingDirectory = _folder,
        };
        using var process = Process.Start(start)!;
        var output = process.StandardOutput.ReadToEndAsync(cancellationToken);
        var error = process.StandardError.ReadToEndAsync(cancellationToken);
        await process.WaitForExitAsync(cancellationToken);
        if (process.ExitCode != 0)
        {
            throw new InvalidOperationException($"{string.Join(' ', command)} ended with {process.ExitCode}: {await output}{await error}{ServerLog()}");
        }
    }

    private string ServerLog() => Path.Combine(_folder, "log") is var log && File.Exists(log) ? File.ReadAllText(log) : "";

    private void DeleteFolder() => Directory.Delete(_folder, recursive: true);
}
