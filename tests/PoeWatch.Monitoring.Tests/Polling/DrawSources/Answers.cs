using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Polling.DrawSources;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Tests.Polling.DrawSources;

/// <summary>Answers of an agent written by hand: <c>oid.index</c> with its value.</summary>
internal static class Answers
{
    public static PortIndexes Ports(params (int Group, int Port)[] ports) =>
        new([.. ports.Select(p => new PsePortRef("s", p.Group, p.Port)).Order()]);

    public static WalkColumn Column(string oid, params (string Index, SnmpValue Value)[] cells) =>
        WalkColumn.Of(Oid.Parse(oid), cells.Select(c => new VarBind(Oid.Parse($"{oid}.{c.Index}"), c.Value)));

    public static SnmpValue Number(int number) => SnmpValue.Integer32(number);

    public static AgentOffer Offer(params WalkColumn[] slow) => new(string.Empty, string.Empty, new SlowAnswers(slow));

    /// <summary>What a source says of the ports of a frame.</summary>
    public static DrawSlots Read(IDrawSource source, PortIndexes ports, FastAnswers fast, AgentOffer? offer = null, TimeSpan upTime = default)
    {
        var slots = new DrawSlots(ports.Ports.Length);
        source.Read(new DrawFrame(ports, fast, offer ?? Offer(), TimeSpan.FromSeconds(30), upTime), slots);
        return slots;
    }
}
