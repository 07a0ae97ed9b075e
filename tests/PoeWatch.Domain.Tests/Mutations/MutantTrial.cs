using System.Diagnostics;

namespace PoeWatch.Domain.Tests.Mutations;

/// <summary>What became of a changed assembly.</summary>
internal enum MutantFate
{
    Unknown = 0,

    /// <summary>A test failed.</summary>
    Caught = 1,

    /// <summary>The tests did not come to an end.</summary>
    Hung = 2,

    /// <summary>The compiler refused it.</summary>
    Refused = 3,

    /// <summary>No test noticed.</summary>
    Survived = 4,
}

/// <summary>A copy of the compiled tests of this project, in which the room's assembly is replaced by a changed one and the tests run as a process of their own.</summary>
internal sealed class MutantTrial : IDisposable
{
    // Processor time, so that a busy machine does not make a slow change look like an endless one.
    private static readonly TimeSpan s_mostWork = TimeSpan.FromSeconds(100);
    private static readonly TimeSpan s_lookEvery = TimeSpan.FromSeconds(2);

    // Those beside the changed code first, as most changes end there; those that take seconds last.
    private static readonly string[] s_slow =
    [
        "PoeWatch.Domain.Tests.PowerFlow.ExtraWattsTests", "PoeWatch.Domain.Tests.PowerFlow.PowerFlowPropertyTests",
        "PoeWatch.Domain.Tests.PowerFlow.NodalAgreementTests", "PoeWatch.Domain.Tests.DesignReports.DesignReportBuilderTests",
    ];

    private static readonly string[] s_withoutSlow = [.. s_slow.SelectMany(c => new[] { "-class-", c })];

    private static readonly string[][] s_stages =
    [
        ["-namespace", "PoeWatch.Domain.Tests.Poe", "-namespace", "PoeWatch.Domain.Tests.PowerFlow", .. s_withoutSlow],
        ["-namespace-", "PoeWatch.Domain.Tests.Mutations", "-namespace-", "PoeWatch.Domain.Tests.Poe", "-namespace-", "PoeWatch.Domain.Tests.PowerFlow", .. s_withoutSlow],
        [.. s_slow.SelectMany(c => new[] { "-class", c })],
    ];

    private readonly string _folder = Directory.CreateTempSubdirectory("mutants-").FullName;

    public MutantTrial()
    {
        foreach (var file in Directory.EnumerateFiles(AppContext.BaseDirectory))
        {
            File.Copy(file, Path.Combine(_folder, Path.GetFileName(file)));
        }
    }

    public async Task<MutantFate> RunAsync(MutantBuild build, Mutant? mutant, CancellationToken cancel)
    {
        if (!build.Write(mutant, Path.Combine(_folder, "PoeWatch.Domain.dll")))
        {
            return MutantFate.Refused;
        }

        foreach (var stage in s_stages)
        {
            var fate = await TestsAsync(stage, cancel);
            if (fate != MutantFate.Survived)
            {
                return fate;
            }
        }

        return MutantFate.Survived;
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private async Task<MutantFate> TestsAsync(string[] chosen, CancellationToken cancel)
    {
        var start = new ProcessStartInfo(Path.Combine(_folder, "PoeWatch.Domain.Tests"), [.. chosen, "-stopOnFail", "-noLogo", "-noColor", "-maxThreads", "1"])
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            WorkingDirectory = _folder,
        };
        foreach (var ours in start.Environment.Keys.Where(k => k.StartsWith("POEWATCH_", StringComparison.Ordinal)).ToArray())
        {
            start.Environment.Remove(ours);
        }

        using var tests = Process.Start(start)!;
        var output = Task.WhenAll(tests.StandardOutput.ReadToEndAsync(cancel), tests.StandardError.ReadToEndAsync(cancel));
        var end = tests.WaitForExitAsync(cancel);
        try
        {
            using var look = new PeriodicTimer(s_lookEvery, TimeProvider.System);
            while (await Task.WhenAny(end, look.WaitForNextTickAsync(cancel).AsTask()) != end)
            {
                if (!tests.HasExited && tests.TotalProcessorTime > s_mostWork)
                {
                    return MutantFate.Hung;
                }
            }

            await Task.WhenAll(end, output);
            return tests.ExitCode == 0 ? MutantFate.Survived : MutantFate.Caught;
        }
        finally
        {
            if (!tests.HasExited)
            {
                tests.Kill(entireProcessTree: true);
            }
        }
    }
}
