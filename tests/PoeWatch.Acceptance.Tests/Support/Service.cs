using System.Globalization;
using System.Reflection;
using System.Text.Json;

namespace PoeWatch.Acceptance.Tests.Support;

/// <summary>The whole service as its users start it: the built program as a process of its own.</summary>
internal sealed class Service : IAsyncDisposable
{
    /// <summary>Set to 1, the browser test also renews the picture that the README shows.</summary>
    public const string UpdateScreenshotVariable = "POEWATCH_UPDATE_SCREENSHOT";

    private readonly OutsideProgram _program;

    private Service(OutsideProgram program, Uri address) => (_program, Address, Rest) = (program, address, new Rest(address));

    public Uri Address { get; }

    public Rest Rest { get; }

    public string Output => _program.Output;

    public int ProcessId => _program.Id;

    public static string RepositoryRoot { get; } = Path.GetFullPath(Metadata("RepositoryRoot"));

    private static string Program { get; } = Path.GetFullPath(Path.Combine(Metadata("ServerFolder"), "poewatch.dll"));

    /// <summary>Starts any command of it.</summary>
    /// <param name="inside">A command that the service's own is handed to, and that becomes it.</param>
    public static OutsideProgram Start(
        IEnumerable<string> arguments, IReadOnlyDictionary<string, string?>? environment = null, IReadOnlyList<string>? inside = null)
    {
        // A test run in the background of a shell inherits an ignored SIGINT and would hand it on.
        string[] command = [.. OperatingSystem.IsLinux() ? ["env", "--default-signal=INT"] : Array.Empty<string>(), .. inside ?? [], "dotnet", Program, .. arguments];

        // To the service every variable of its prefix is a setting.
        return OutsideProgram.Start(command[0], command[1..], new Dictionary<string, string?>(environment ?? new Dictionary<string, string?>()) { [UpdateScreenshotVariable] = null });
    }

    /// <summary>Runs a command to its end.</summary>
    public static async Task<(int ExitCode, string Output)> RunAsync(params string[] arguments)
    {
        await using var program = Start(arguments);
        var code = await program.ExitAsync();
        return (code, program.Output);
    }

    /// <summary>Starts a command that serves, and waits until it says where.</summary>
    public static async Task<Service> ServingAsync(
        IEnumerable<string> arguments, IReadOnlyDictionary<string, string?>? environment = null, IReadOnlyList<string>? inside = null)
    {
        var program = Start(arguments, environment, inside);
        try
        {
            var line = await program.LineAsync("Open http");
            var url = line[line.IndexOf("http", StringComparison.Ordinal)..].Split(' ')[0];
            return new Service(program, new Uri(url));
        }
        catch
        {
            await program.DisposeAsync();
            throw;
        }
    }

    /// <summary>kill -9.</summary>
    public Task KillAsync()
    {
        _program.Kill();
        return _program.ExitAsync();
    }

    /// <summary>Ctrl-C, and the exit code.</summary>
    public Task<int> InterruptAsync(TimeSpan within)
    {
        _program.Interrupt();
        return _program.ExitAsync(within);
    }

    /// <summary>Waits until an answer of the API satisfies, and returns it.</summary>
    public async Task<JsonElement> SeeAsync(string what, string path, Func<JsonElement, bool> satisfies, TimeSpan? within = null)
    {
        JsonElement newest = default;
        await Eventually.HoldsAsync(
            what,
            async () =>
            {
                Assert.False(_program.HasExited, $"The service ended. {Output}");
                return satisfies(newest = await Rest.GetAsync(path));
            },
            () => $"{path} last gave {newest}{Environment.NewLine}{Output}",
            within);
        return newest;
    }

    /// <summary>The port of a switch as the API shows it, once its switch has answered and the port satisfies.</summary>
    public Task<JsonElement> SeePortAsync(string what, string pse, int group, int port, Func<JsonElement, bool> satisfies, TimeSpan? within = null) =>
        SeeAsync(what, string.Create(CultureInfo.InvariantCulture, $"/api/v1/ports/{pse}/{group}/{port}"), satisfies, within);

    public async ValueTask DisposeAsync()
    {
        Rest.Dispose();
        await _program.DisposeAsync();
    }

    private static string Metadata(string key) =>
        typeof(Service).Assembly.GetCustomAttributes<AssemblyMetadataAttribute>().Single(a => a.Key == key).Value!;
}
