using PoeWatch.Snmp.Codec;

namespace PoeWatch.Snmp.Security;

/// <summary>
/// What a Report says by the counter it carries: usmStats of RFC 3414 section 5, snmpMPDStats and snmpTargetObjects'
/// context counters of RFC 3412 and RFC 3413.
/// </summary>
internal static class ReportCause
{
    private static readonly Oid UsmStats = Oid.Parse("1.3.6.1.6.3.15.1.1");
    private static readonly Oid UnavailableContexts = Oid.Parse("1.3.6.1.6.3.12.1.4");
    private static readonly Oid UnknownContexts = Oid.Parse("1.3.6.1.6.3.12.1.5");

    public static SnmpOutcome Of(PduView report)
    {
        byte[] kept = report.VarBindList.ToArray();
        if (!VarBindReader.TryDecode(kept, 0, kept.Length, out VarBind[] varBinds) || varBinds.Length == 0)
        {
            return SnmpOutcome.OtherReport;
        }

        Oid counter = varBinds[0].Oid;
        if (counter.StartsWith(UnavailableContexts) || counter.StartsWith(UnknownContexts))
        {
            return SnmpOutcome.UnknownContext;
        }

        Span<uint> index = stackalloc uint[2];
        if (!counter.TryGetIndex(UsmStats, index, out int count) || count == 0)
        {
            return SnmpOutcome.OtherReport;
        }

        return index[0] switch
        {
            1 => SnmpOutcome.UnsupportedSecurityLevel,
            2 => SnmpOutcome.NotInTimeWindow,
            3 => SnmpOutcome.UnknownUser,
            4 => SnmpOutcome.UnknownEngine,
            5 => SnmpOutcome.WrongDigest,
            6 => SnmpOutcome.DecryptionError,
            _ => SnmpOutcome.OtherReport,
        };
    }
}
