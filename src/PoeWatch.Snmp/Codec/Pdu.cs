namespace PoeWatch.Snmp.Codec;

/// <summary>
/// What a request asks for, or what an Inform tells: the content of a Get, GetNext, GetBulk or Inform PDU without its id.
/// </summary>
internal readonly record struct RequestBody(
    PduType Type, Oid[] Oids, int NonRepeaters = 0, int MaxRepetitions = 0)
{
    /// <summary>What an Inform tells, one for each name; null where the names are asked for.</summary>
    public SnmpValue[]? Values { get; init; }

    /// <summary>An upper bound of the encoded size, for sizing a buffer once.</summary>
    public int EncodedSizeBound
    {
        get
        {
            int size = 64;
            foreach (Oid oid in Oids)
            {
                size += oid.Encoded.Length + 16;
            }

            foreach (SnmpValue value in Values ?? [])
            {
                size += value.Bytes.Length + 16;
            }

            return size;
        }
    }

    public void Write(ref BerWriter writer, int requestId)
    {
        int beforePdu = writer.Length;
        for (int i = Oids.Length - 1; i >= 0; i--)
        {
            int beforeBinding = writer.Length;
            if (Values is null)
            {
                writer.WriteNull();
            }
            else
            {
                writer.WriteValue(Values[i]);
            }

            writer.WriteOid(Oids[i]);
            writer.Wrap(BerTag.Sequence, beforeBinding);
        }

        writer.Wrap(BerTag.Sequence, beforePdu);
        writer.WriteInteger(MaxRepetitions);
        writer.WriteInteger(NonRepeaters);
        writer.WriteInteger(requestId);
        writer.Wrap((byte)Type, beforePdu);
    }
}

/// <summary>
/// A PDU as read: its numbers and the undecoded content of its variable-bindings. In a GetBulk the two middle numbers are
/// non-repeaters and max-repetitions, elsewhere error-status and error-index.
/// </summary>
internal readonly ref struct PduView
{
    public PduType Type { get; private init; }

    public int RequestId { get; private init; }

    public int ErrorStatus { get; private init; }

    public int ErrorIndex { get; private init; }

    public ReadOnlySpan<byte> VarBindList { get; private init; }

    private static bool IsKnown(PduType type) =>
        type is PduType.Get or PduType.GetNext or PduType.Response or PduType.GetBulk or PduType.Inform or PduType.Trap or PduType.Report;

    public static bool TryRead(scoped ref BerReader reader, out PduView pdu)
    {
        pdu = default;
        PduType type = (PduType)reader.PeekTag();
        if (type == PduType.Unknown
            || !IsKnown(type)
            || !reader.TryEnter((byte)type, out BerReader content)
            || !content.TryReadInt32(out int requestId)
            || !content.TryReadInt32(out int status)
            || !content.TryReadInt32(out int index)
            || !content.TryReadElement(BerTag.Sequence, out ReadOnlySpan<byte> varBinds))
        {
            return false;
        }

        pdu = new PduView { Type = type, RequestId = requestId, ErrorStatus = status, ErrorIndex = index, VarBindList = varBinds };
        return true;
    }
}
