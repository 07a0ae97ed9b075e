using BenchmarkDotNet.Attributes;
using BenchmarkDotNet.Engines;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.DesignReports;
using PoeWatch.Domain.DesignReports.Pages;
using PoeWatch.Domain.DesignReports.Texts;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Benchmarks.DesignReports;

/// <summary>The report of a generated site in four load cases and both operating modes, solved and written. The goal: 500 poles in a few seconds.</summary>
[MemoryDiagnoser]
[SimpleJob(RunStrategy.Monitoring, launchCount: 1, warmupCount: 2, iterationCount: 5)]
public class DesignReportBenchmarks
{
    private DesignModel _design = null!;
    private DesignReport _report = null!;

    /// <summary>Poles.</summary>
    [Params(500)]
    public int Poles { get; set; }

    [GlobalSetup]
    public void SetUp()
    {
        _design = LargeSite.Of(Poles);
        _report = Build();
    }

    [Benchmark]
    public DesignReport Build() => DesignReportBuilder.Build(_design, DateTimeOffset.UnixEpoch, "1");

    [Benchmark]
    public int Json() => ReportJson.Write(_report).Length;

    [Benchmark]
    public int Text() => DesignReportText.Pieces(_report).Sum(piece => piece.Length);

    [Benchmark]
    public int Page() => DesignReportPage.Pieces(_report).Sum(piece => piece.Length);
}
