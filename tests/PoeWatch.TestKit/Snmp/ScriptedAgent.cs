using System.Collections.Concurrent;
using System.Net;
using System.Threading.Channels;
using PoeWatch.Snmp;
using PoeWatch.Snmp.Codec;

namespace PoeWatch.TestKit.Snmp;

/// <summary>What a scripted agent was asked.</summary>
public sealed record SeenRequest(bool IsBulk, int NonRepeaters, int MaxRepetitions, IReadOnlyList<Oid> Oids);

/// <summary>
/// An SNMPv2c agent on a real loopback socket that answers from a table and goes wrong as told. Fill <see cref="Table"/>,
/// set <see cref="Always"/> or queue <see cref="Next"/> faults, point a client at <see cref="LoopbackAgent.Endpoint"/>.
/// Thread-safe.
/// </summary>
public sealed class ScriptedAgent : LoopbackAgent
{
    private readonly string _community;
    private readonly ConcurrentQueue<AgentFault> _next = new();
    private readonly ConcurrentQueue<(byte[] Bytes, EndPoint To)> _held = new();
    private readonly Channel<SeenRequest> _seen = Channel.CreateBounded<SeenRequest>(
        new BoundedChannelOptions(10_000) { FullMode = BoundedChannelFullMode.DropOldest });

    public ScriptedAgent(string community = "public", IPAddress? address = null)
        : base(address) => _community = community;

    public AgentTable Table { get; } = new();

    /// <summary>Answers hold no more bytes than this; a GetBulk is cut to fit, whole bindings only.</summary>
    public int MaxResponseBytes { get; set; } = 1472;

    /// <summary>A GetBulk that asks for more cells than this meets <see cref="OverloadFault"/>.</summary>
    public int MaxCellsAsked { get; set; } = int.MaxValue;

    public AgentFault OverloadFault { get; set; } = AgentFault.TooBig;

    /// <summary>The fault of every request for which none is queued.</summary>
    public AgentFault Always { get; set; }

    /// <summary>Replaces an answer's bytes by anything; runs after the faults.</summary>
    public Func<byte[], byte[]>? Mangle { get; set; }

    /// <summary>How many requests were understood.</summary>
    public int Requests { get; private set; }

    public void Next(params ReadOnlySpan<AgentFault> faults)
    {
        foreach (AgentFault fault in faults)
        {
            _next.Enqueue(fault);
        }
    }

    /// <summary>The next request that was understood, in the order of arrival.</summary>
    public ValueTask<SeenRequest> NextRequestAsync(CancellationToken cancellationToken) => _seen.Reader.ReadAsync(cancellationToken);

    /// <summary>Sends the held answers and says how many there were.</summary>
    public async Task<int> ReleaseHeldAsync(CancellationToken cancellationToken)
    {
        int released = 0;
        while (_held.TryDequeue(out (byte[] Bytes, EndPoint To) held))
        {
            cancellationToken.ThrowIfCancellationRequested();
            await SendAsync(held.Bytes, held.To);
            released++;
        }

        return released;
    }

    private protected override async Task HandleAsync(byte[] datagram, EndPoint client)
    {
        if (RequestMessage.TryDecode(datagram, out RequestMessage? request) && request!.Community == _community)
        {
            await AnswerAsync(request, client);
        }
    }

    private async Task AnswerAsync(RequestMessage request, EndPoint client)
    {
        Requests++;
        AgentFault fault = _next.TryDequeue(out AgentFault queued) ? queued : Always;
        bool bulk = request.Type == PduType.GetBulk;
        int cells = Math.Max(0, request.Oids.Count - request.NonRepeaters) * request.MaxRepetitions;
        fault = fault == AgentFault.None && bulk && cells > MaxCellsAsked ? OverloadFault : fault;
        byte[] answer = Respond(request, fault);
        answer = Mangle?.Invoke(answer) ?? answer;
        if (fault == AgentFault.Held)
        {
            _held.Enqueue((answer, client));
        }
        else if (fault == AgentFault.OtherAddress)
        {
            await SendFromOtherAddressAsync(answer, client);
        }
        else if (fault != AgentFault.Silence)
        {
            await SendAsync(answer, client, fromOtherPort: fault == AgentFault.OtherSource);
            if (fault == AgentFault.Twice)
            {
                await SendAsync(answer, client);
            }
        }

        _seen.Writer.TryWrite(new SeenRequest(bulk, request.NonRepeaters, request.MaxRepetitions, request.Oids));
    }

    private byte[] Respond(RequestMessage request, AgentFault fault)
    {
        int id = fault == AgentFault.WrongId ? request.RequestId ^ 0x5A5A : request.RequestId;
        (int status, int index) = fault switch
        {
            AgentFault.TooBig => ((int)SnmpErrorStatus.TooBig, 0),
            AgentFault.GenErr => ((int)SnmpErrorStatus.GenErr, 1),
            AgentFault.AuthorizationError => ((int)SnmpErrorStatus.AuthorizationError, 0),
            _ => (0, 0),
        };
        List<VarBind> varBinds = status != 0 || fault == AgentFault.Empty
            ? []
            : Table.Answer(
                request.Type, request.Oids, request.NonRepeaters, request.MaxRepetitions, fault == AgentFault.StuckOids);
        byte[] answer = ResponseEncoder.Encode(request.Community, id, status, index, varBinds);
        while (answer.Length > MaxResponseBytes && request.Type == PduType.GetBulk && varBinds.Count > 0)
        {
            int keep = Math.Min(varBinds.Count - 1, varBinds.Count * MaxResponseBytes / answer.Length);
            varBinds.RemoveRange(keep, varBinds.Count - keep);
            answer = ResponseEncoder.Encode(request.Community, id, status, index, varBinds);
        }

        return fault switch
        {
            AgentFault.Truncated => answer[..(answer.Length / 2)],
            AgentFault.Garbage => [0xDE, 0xAD, 0xBE, 0xEF],
            _ => answer,
        };
    }
}
