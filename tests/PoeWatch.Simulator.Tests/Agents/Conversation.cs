using System.Text;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Simulator.Agents;
using PoeWatch.Simulator.Tests.Support;
using PoeWatch.Simulator.World;
using PoeWatch.Snmp;
using PoeWatch.Snmp.Codec;
using PoeWatch.Snmp.Security;

namespace PoeWatch.Simulator.Tests.Agents;

/// <summary>One agent without a socket: requests as bytes in, answers as bytes out.</summary>
internal sealed class Conversation
{
    public const string Community = "skerry-read";

    private readonly AgentProtocol _protocol;
    private readonly AgentFace? _face;
    private readonly AgentMoment _moment;
    private readonly byte[] _buffer = new byte[2 * SimulatedAgent.MaxMessageSize];

    public Conversation()
    {
        var world = new DrivenWorld("at 1s port quay-west:1/6 trouble short").GoTo(5);
        var shape = world.World.ShapeOf(SmallDesign.Switch);
        View = PseMib.Of(shape, SmallDesign.Ieee, "Skerry Haven", EngineId.For(SmallDesign.Switch), []);
        _protocol = new AgentProtocol(View, new CommunityCredentials(Community), EngineId.For(SmallDesign.Switch), new UserKeyCache());
        Pse = world.World.Look(SmallDesign.Switch)!;
        _moment = new AgentMoment(Pse, TimeSpan.FromMilliseconds(4_321_980), 77);
    }

    /// <summary>With an agent of a world as it is at each question.</summary>
    public Conversation(SimulatedWorld world, string elementId)
    {
        _face = AgentFace.OfPse(world, elementId);
        View = _face.View;
        _protocol = new AgentProtocol(View, new CommunityCredentials(Community), EngineId.For(elementId), new UserKeyCache());
        Pse = world.Look(elementId)!;
    }

    /// <summary>With the agent of a UPS.</summary>
    public Conversation(SimulatedWorld world, Ups ups)
    {
        _face = AgentFace.OfUps(world, ups);
        View = _face.View;
        _protocol = new AgentProtocol(View, new CommunityCredentials(Community), EngineId.For(ups.Id), new UserKeyCache());
        Pse = PseSnapshot.None;
    }

    public MibView View { get; }

    /// <summary>Objects that the agent has.</summary>
    public int Count => View.CountAt(_face?.Now() ?? _moment);

    public PseSnapshot Pse { get; }

    public Power TrueDraw => Pse.Groups[0].Draw;

    /// <summary>The answer to any bytes; empty for silence.</summary>
    public byte[] Send(ReadOnlySpan<byte> datagram)
    {
        var moment = _face is null ? _moment : _face.Now();
        var length = moment is null ? 0 : _protocol.Respond(datagram, moment.Value, _buffer);
        return _buffer[^length..];
    }

    public byte[] Request(PduType type, string community, int nonRepeaters, int maxRepetitions, params string[] names)
    {
        var body = new RequestBody(type, [.. names.Select(Oid.Parse)], nonRepeaters, maxRepetitions);
        return CommunityMessage.Encode(new byte[65000], Encoding.UTF8.GetBytes(community), 4711, body).ToArray();
    }

    public (SnmpErrorStatus Status, VarBind[] VarBinds, int Size) Ask(PduType type, int nonRepeaters, int maxRepetitions, params string[] names)
    {
        var answer = Send(Request(type, Community, nonRepeaters, maxRepetitions, names));
        Assert.True(CommunityMessage.TryRead(answer, out var community, out var pdu));
        Assert.Equal(Community, Encoding.UTF8.GetString(community));
        Assert.Equal(PduType.Response, pdu.Type);
        Assert.Equal(4711, pdu.RequestId);
        var list = pdu.VarBindList.ToArray();
        Assert.True(VarBindReader.TryDecode(list, 0, list.Length, out var varBinds));
        return ((SnmpErrorStatus)pdu.ErrorStatus, varBinds, answer.Length);
    }

    /// <summary>True where a question has an answer now.</summary>
    public bool IsAnswered => Send(Request(PduType.Get, Community, 0, 0, "1.3.6.1.2.1.1.3.0")).Length > 0;

    public long Number(string name) => Get(name).TryGetInt64(out var number) ? number : throw new InvalidOperationException(name);

    /// <summary>All instances below a column, as a manager walks them.</summary>
    public VarBind[] Walk(string column)
    {
        var found = new List<VarBind>();
        for (var at = Oid.Parse(column); ;)
        {
            var next = Ask(PduType.GetNext, 0, 0, at.ToString()).VarBinds.Single();
            if (next.Value.Type == SnmpType.EndOfMibView || !next.Oid.StartsWith(Oid.Parse(column)))
            {
                return [.. found];
            }

            found.Add(next);
            at = next.Oid;
        }
    }

    public SnmpValue Get(string name) => Ask(PduType.Get, 0, 0, name).VarBinds.Single().Value;
}
