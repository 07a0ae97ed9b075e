using PoeWatch.Snmp;
using PoeWatch.Snmp.Codec;
using PoeWatch.Snmp.Security;

namespace PoeWatch.Simulator.Agents;

/// <summary>
/// One agent's side of SNMP: a datagram in, an answer or silence out. Speaks v2c or v3, as its credentials say. For one thread at a time.
/// </summary>
internal sealed class AgentProtocol(MibView view, SnmpCredentials credentials, ReadOnlyMemory<byte> engineId, UserKeyCache userKeys)
{
    private readonly UsmAgent? _usm = credentials is UsmCredentials user ? new UsmAgent(view, user, engineId, userKeys) : null;

    /// <summary>Writes the answer at the end of the buffer and gives its length; 0 where the agent stays silent.</summary>
    public int Respond(ReadOnlySpan<byte> datagram, AgentMoment moment, Span<byte> buffer)
    {
        if (_usm is not null)
        {
            return _usm.Respond(datagram, moment, buffer);
        }

        // A community that the agent does not know gets no answer: RFC 3584 section 5.2.1 has it dropped, with a trap at most.
        return CommunityMessage.TryRead(datagram, out var community, out var pdu)
            && community.SequenceEqual(((CommunityCredentials)credentials).Community)
                ? RespondV2(community, pdu, moment, buffer)
                : 0;
    }

    private int RespondV2(ReadOnlySpan<byte> community, in PduView pdu, AgentMoment moment, Span<byte> buffer)
    {
        var writer = new BerWriter(buffer);
        // Two headers of up to 4 bytes and the version stand around community and PDU.
        if (!Answer.TryWrite(pdu, view, moment, SimulatedAgent.MaxMessageSize - community.Length - 12, ref writer))
        {
            return 0;
        }

        CommunityMessage.Frame(ref writer, community);
        return writer.Length;
    }
}
