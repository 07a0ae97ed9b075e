using System.Collections.Concurrent;
using System.Diagnostics;
using System.Runtime.InteropServices;

namespace PoeWatch.Acceptance.Tests.Support;

/// <summary>
/// A running program with what it printed. Ends with the test, also a failed one, and with the test process. Thread safe.
/// </summary>
internal sealed class OutsideProgram : IAsyncDisposable
{
    private const int LinesMax = 400;
    private const int SignalInterrupt = 2;
    private const int SignalTerminate = 15;

    private static readonly ConcurrentDictionary<OutsideProgram, bool> Running = new();

    private readonly Process _process;
    private readonly Queue<string> _lines = new();
    private readonly Lock _gate = new();

    static OutsideProgram() => AppDomain.CurrentDomain.ProcessExit += (_, _) =>
    {
        foreach (var program in Running.Keys)
        {
            program.Kill();
        }
    };

    private OutsideProgram(Process process, string command)
    {
        (_process, Command) = (process, command);
        _process.OutputDataReceived += (_, e) => Keep(e.Data);
        _process.ErrorDataReceived += (_, e) => Keep(e.Data);
    }

    public string Command { get; }

    public int Id => _process.Id;

    public bool HasExited => _process.HasExited;

    /// <summary>The newest lines of both streams, with the command before them.</summary>
    public string Output
    {
        get
        {
            lock (_gate)
            {
                return $"--- {Command}{Environment.NewLine}{string.Join(Environment.NewLine, _lines)}{Environment.NewLine}---";
            }
        }
    }

    /// <param name="environment">Variables on top of those of the test process; one that is null is taken away.</param>
    public static OutsideProgram Start(string file, IEnumerable<string> arguments, IReadOnlyDictionary<string, string?>? environment = null, string? folder = null)
    {
        var start = new ProcessStartInfo(file, arguments)
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            RedirectStandardInput = true,
            WorkingDirectory = folder ?? Path.GetTempPath(),
        };
        foreach (var (name, value) in environment ?? new Dictionary<string, string?>())
        {
            if (value is null)
            {
                start.Environment.Remove(name);
            }
            else
            {
                start.Environment[name] = value;
            }
        }

        var program = new OutsideProgram(new Process { StartInfo = start }, $"{file} {string.Join(' ', start.ArgumentList)}");
        program._process.Start();
        program._process.BeginOutputReadLine();
        program._process.BeginErrorReadLine();
        Running[program] = true;
        return program;
    }

    /// <summary>Finds a program; where it is missing the test fails and names the package.</summary>
    public static string Find(string name, string package)
    {
        string[] folders = [.. (Environment.GetEnvironmentVariable("PATH") ?? "").Split(Path.PathSeparator), "/usr/sbin", "/usr/bin"];
        return folders.Select(folder => Path.Combine(folder, name)).FirstOrDefault(File.Exists)
            ?? throw new InvalidOperationException($"These tests need '{name}'. Install it (Debian and Ubuntu: apt-get install {package}).");
    }

    /// <summary>Waits for a line that holds the text, and returns it; fails at once where the program ends before.</summary>
    public Task<string> LineAsync(string text) => Eventually.SeeAsync($"'{text}' printed", () =>
    {
        var ended = _process.HasExited;
        var line = Lines().FirstOrDefault(l => l.Contains(text, StringComparison.Ordinal));
        Assert.True(line is not null || !ended, $"It ended before it printed '{text}'. {Output}");
        return Task.FromResult(line);
    }, () => Output);

    /// <summary>Waits for the end and returns the exit code.</summary>
    public async Task<int> ExitAsync(TimeSpan? within = null)
    {
        using var limit = new CancellationTokenSource(within ?? Eventually.Within, TimeProvider.System);
        try
        {
            await _process.WaitForExitAsync(limit.Token);
        }
        catch (OperationCanceledException)
        {
            Assert.Fail($"It should have ended within {(within ?? Eventually.Within).TotalSeconds} s. {Output}");
        }

        return _process.ExitCode;
    }

    /// <summary>As Ctrl-C at a terminal.</summary>
    public void Interrupt() => Signal(SignalInterrupt);

    public void Terminate() => Signal(SignalTerminate);

    /// <summary>kill -9, with what it started itself.</summary>
    public void Kill()
    {
        try
        {
            _process.Kill(entireProcessTree: true);
        }
        catch (InvalidOperationException)
        {
            // It has ended by itself.
        }
    }

    public async ValueTask DisposeAsync()
    {
        Kill();
        await _process.WaitForExitAsync(CancellationToken.None);
        Running.TryRemove(this, out _);
        _process.Dispose();
    }

    private void Signal(int signal) => Assert.Equal(0, SendSignal(_process.Id, signal));

    private List<string> Lines()
    {
        lock (_gate)
        {
            return [.. _lines];
        }
    }

    private void Keep(string? line)
    {
        if (line is null)
        {
            return;
        }

        lock (_gate)
        {
            _lines.Enqueue(line);
            if (_lines.Count > LinesMax)
            {
                _lines.Dequeue();
            }
        }
    }

    [DllImport("libc", EntryPoint = "kill", SetLastError = true)]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern int SendSignal(int processId, int signal);
}
