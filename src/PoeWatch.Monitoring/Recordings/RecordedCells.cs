using System.Net;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Recordings;

/// <summary>Gathers what the walks of one recording bring, up to its limits. For one caller at a time.</summary>
internal sealed class RecordedCells(SnmpCredentials credentials)
{
    private readonly SortedDictionary<Oid, SnmpValue> _cells = [];
    private readonly List<MissingPart> _missing = [];
    private int _silences;
    private long _octets;

    /// <summary>Why nothing more is asked, or null.</summary>
    public string? Ending =>
        _silences >= RecordingLimits.SilencesMax ? "not asked: the agent had fallen silent"
        : _cells.Count >= RecordingLimits.CellsMax || _octets >= RecordingLimits.OctetsMax ? "not asked: the recording had its full size"
        : null;

    /// <summary>Cells that may still come, at least one.</summary>
    public int Room => Math.Max(1, RecordingLimits.CellsMax - _cells.Count);

    public void Miss(Oid subtree, string reason) => _missing.Add(new MissingPart(subtree.ToString(), reason, IsFailure: true));

    public void Take(Oid subtree, WalkResult walk)
    {
        var secret = 0;
        foreach (VarBind cell in walk.Columns[0].Cells)
        {
            if (RecordingPlan.IsSecret(cell.Oid))
            {
                secret++;
            }
            else if (_octets < RecordingLimits.OctetsMax)
            {
                Put(cell);
            }
        }

        if (secret > 0)
        {
            _missing.Add(new MissingPart(subtree.ToString(), FormattableString.Invariant($"{secret} values of users, keys and communities were left out"), IsFailure: false));
        }

        if (!walk.IsComplete)
        {
            Miss(subtree, FormattableString.Invariant($"{(walk.HasAnswer ? "answered in part" : "not answered")} ({Words(walk)})"));
        }

        _silences = walk.HasAnswer ? 0 : _silences + 1;
    }

    public AgentRecording Build(string objectId) => new(objectId, [.. _cells.Select(cell => new VarBind(cell.Key, cell.Value))], [.. _missing]);

    private void Put(VarBind cell)
    {
        if (!cell.Value.IsPresent)
        {
            Miss(cell.Oid, "its value cannot be read");
            return;
        }

        SnmpValue value = Owned(cell.Value);
        _cells[cell.Oid.ToOwned()] = value;
        _octets += cell.Oid.Encoded.Length + (value.TryGetOctets(out ReadOnlySpan<byte> octets) ? octets.Length : sizeof(long));
    }

    private SnmpValue Owned(SnmpValue value)
    {
        if (value.TryGetOid(out Oid oid))
        {
            return SnmpValue.ObjectIdentifier(oid);
        }

        if (!value.TryGetOctets(out ReadOnlySpan<byte> octets))
        {
            return value;
        }

        byte[] own = octets.ToArray();
        SecretMask.Apply(credentials, own);
        return value.Type switch
        {
            SnmpType.IpAddress when octets.Length == 4 => SnmpValue.IpAddress(new IPAddress(octets)),
            SnmpType.OctetString => SnmpValue.Octets(own),
            _ => SnmpValue.Opaque(own),
        };
    }

    // Without the target: it would name an address.
    private static string Words(WalkResult walk) => walk.Ending switch
    {
        WalkEnding.NotIncreasing => "its answers stepped back",
        WalkEnding.EmptyAnswer => "an answer without a value",
        WalkEnding.LimitReached => "more than is recorded",
        _ when walk.Failure is null => "no cause known",
        _ when walk.Failure.Outcome == SnmpOutcome.Cancelled => "the time was up",
        _ when walk.Failure.Outcome == SnmpOutcome.AgentError => FormattableString.Invariant($"agent error {walk.Failure.ErrorStatus}"),
        _ => walk.Failure.Outcome.ToString(),
    };
}
