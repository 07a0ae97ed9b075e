using BenchmarkDotNet.Attributes;
using PoeWatch.Domain.Design;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Polling.DrawSources;
using PoeWatch.Snmp;

namespace PoeWatch.Benchmarks.Polling;

/// <summary>What the answers of one poll of a 48-port switch cost to turn into readings: state, class, milliwatts and the check of units.</summary>
[MemoryDiagnoser]
public class DecodeBenchmarks
{
    private const int PortCount = 48;
    private const string Draws = "1.3.111.2.802.3.1.8.1.1.1.15";

    private readonly AgentDraws _draws = new(new DrawColumn(Draws, DrawUnit.Milliwatt, DrawIndex.GroupAndPort));
    private readonly PollTarget _target = new(
        "switch", new SnmpAgent("192.0.2.1", 161, "default", TimeSpan.FromSeconds(60), null), PortTypes.None);

    private FastAnswers _poll = FastAnswers.None;

    [GlobalSetup]
    public void Setup() => _poll = new FastAnswers(
        Column("1.3.6.1.2.1.105.1.1.1.6", "1.", _ => 3), Column("1.3.6.1.2.1.105.1.1.1.10", "1.", _ => 5), Column(Draws, "1.", port => 10_000 + (port * 37)),
        Single("1.3.6.1.2.1.105.1.3.1.1.2", 1440), Single("1.3.6.1.2.1.105.1.3.1.1.3", 1), Single("1.3.6.1.2.1.105.1.3.1.1.4", 524));

    [Benchmark]
    public int Decode() => _draws.Decode(_target, _poll, TimeSpan.Zero, TimeSpan.FromDays(1)).Ports.Length;

    private static WalkColumn Column(string oid, string group, Func<int, int> value) => WalkColumn.Of(
        Oid.Parse(oid), Enumerable.Range(1, PortCount).Select(port => new VarBind(Oid.Parse($"{oid}.{group}{port}"), SnmpValue.Integer32(value(port)))));

    private static WalkColumn Single(string oid, int value) => WalkColumn.Of(Oid.Parse(oid), [new VarBind(Oid.Parse(oid + ".1"), SnmpValue.Integer32(value))]);
}
