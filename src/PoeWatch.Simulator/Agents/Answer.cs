using PoeWatch.Snmp;
using PoeWatch.Snmp.Codec;

namespace PoeWatch.Simulator.Agents;

/// <summary>
/// Answers the three reading requests from a view (RFC 3416 sections 4.2.1 to 4.2.3). Anything else has no answer here: there
/// is nothing to write to in a simulated agent.
/// </summary>
internal static class Answer
{
    /// <summary>Rows of one GetBulk that are looked at; a datagram is full long before.</summary>
    private const int MostRepetitions = 2000;

    /// <summary>Space for what stands around the bindings of a response PDU: three headers of up to 4 bytes, three numbers.</summary>
    private const int PduOverhead = 32;

    /// <summary>Writes a response PDU. False where the PDU is no request that can be read.</summary>
    /// <param name="sizeLimit">Bytes that the response PDU may take.</param>
    public static bool TryWrite(in PduView request, MibView view, AgentMoment moment, int sizeLimit, ref BerWriter writer)
    {
        if (!RequestMessage.TryDecodeOids(request, out var names))
        {
            return false;
        }

        var list = new VarBindList(new byte[Math.Max(0, sizeLimit - PduOverhead)]);
        var isWhole = request.Type switch
        {
            PduType.Get => TryEach(names, name => new VarBind(name, view.Get(name, moment)), ref list),
            PduType.GetNext => TryEach(names, name => view.Next(name, moment), ref list),
            _ => TryBulk(names, request, view, moment, ref list),
        };
        if (isWhole)
        {
            Write(ref writer, PduType.Response, request.RequestId, SnmpErrorStatus.NoError, list.Encoded);
        }
        else
        {
            Write(ref writer, PduType.Response, request.RequestId, SnmpErrorStatus.TooBig, []);
        }

        return true;
    }

    /// <summary>Writes a response or report PDU around encoded bindings.</summary>
    public static void Write(ref BerWriter writer, PduType type, int requestId, SnmpErrorStatus status, ReadOnlySpan<byte> bindings)
    {
        var before = writer.Length;
        writer.WriteOctets(BerTag.Sequence, bindings);
        writer.WriteInteger(0);
        writer.WriteInteger((int)status);
        writer.WriteInteger(requestId);
        writer.Wrap((byte)type, before);
    }

    private static bool TryEach(Oid[] names, Func<Oid, VarBind> read, ref VarBindList list)
    {
        foreach (var name in names)
        {
            var found = read(name);
            if (!list.TryAdd(found.Oid, found.Value))
            {
                return false;
            }
        }

        return true;
    }

    // A bulk answer is never too big: it ends where the datagram is full, if need be empty.
    private static bool TryBulk(Oid[] names, in PduView request, MibView view, AgentMoment moment, ref VarBindList list)
    {
        var nonRepeaters = Math.Clamp(request.ErrorStatus, 0, names.Length);
        var repetitions = Math.Clamp(request.ErrorIndex, 0, MostRepetitions);
        foreach (var name in names.AsSpan(0, nonRepeaters))
        {
            var found = view.Next(name, moment);
            if (!list.TryAdd(found.Oid, found.Value))
            {
                return true;
            }
        }

        var row = names.AsSpan(nonRepeaters).ToArray();
        for (var repetition = 0; repetition < repetitions && row.Length > 0; repetition++)
        {
            var isPastEnd = true;
            for (var column = 0; column < row.Length; column++)
            {
                var found = view.Next(row[column], moment);
                if (!list.TryAdd(found.Oid, found.Value))
                {
                    return true;
                }

                row[column] = found.Oid;
                isPastEnd &= found.Value.Type == SnmpType.EndOfMibView;
            }

            // RFC 3416 section 4.2.3 lets an answer end once a whole repetition is past the end.
            if (isPastEnd)
            {
                return true;
            }
        }

        return true;
    }
}
