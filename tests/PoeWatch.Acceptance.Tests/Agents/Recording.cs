using System.Globalization;

namespace PoeWatch.Acceptance.Tests.Agents;

/// <summary>
/// What an agent is to answer, value by value. Objects and numbers: RFC 3621 (POWER-ETHERNET-MIB, section 5), RFC 2863 (IF-MIB),
/// RFC 3418 (sysUpTime); pethPsePortActualPower: IEEE Std 802.3.1, from a compiled form of the module, its original text not seen.
/// </summary>
internal sealed class Recording
{
    /// <summary>IEEE Std 802.3.1 pethPsePortActualPower, milliwatts by group and port.</summary>
    public const string IeeeDraw = "1.3.111.2.802.3.1.8.1.1.1.15";

    /// <summary>For draw columns that a maker would have: the enterprise number that RFC 5612 sets aside for examples.</summary>
    public const string MakerDraw = "1.3.6.1.4.1.32473.7.1.4";

    private const string PortState = "1.3.6.1.2.1.105.1.1.1.6";
    private const string PortClass = "1.3.6.1.2.1.105.1.1.1.10";
    private const string GroupPower = "1.3.6.1.2.1.105.1.3.1.1.2";
    private const string GroupStatus = "1.3.6.1.2.1.105.1.3.1.1.3";
    private const string GroupDraw = "1.3.6.1.2.1.105.1.3.1.1.4";
    private const string InterfaceName = "1.3.6.1.2.1.31.1.1.1.1";

    private readonly SortedDictionary<string, (Kind Kind, string Value)> _values = new(Comparer<string>.Create(CompareOids));

    private enum Kind
    {
        Integer,
        Text,
        Gauge,
        Oid,
        Counter,
    }

    /// <summary>pethPsePortDetectionStatus: disabled(1) searching(2) deliveringPower(3) fault(4) test(5) otherFault(6).</summary>
    /// <param name="classification">pethPsePortPowerClassifications: class0(1) to class4(5).</param>
    public Recording Port(int group, int port, int state, int classification)
    {
        Set(Text($"{PortState}.{group}.{port}"), Kind.Integer, Text($"{state}"));
        return Set(Text($"{PortClass}.{group}.{port}"), Kind.Integer, Text($"{classification}"));
    }

    /// <summary>pethMainPsePower (watts), pethMainPseOperStatus on(1), pethMainPseConsumptionPower (watts).</summary>
    public Recording Group(int group, int powerW, int drawW)
    {
        Set(Text($"{GroupPower}.{group}"), Kind.Gauge, Text($"{powerW}"));
        Set(Text($"{GroupStatus}.{group}"), Kind.Integer, "1");
        return Set(Text($"{GroupDraw}.{group}"), Kind.Gauge, Text($"{drawW}"));
    }

    /// <summary>ifName.</summary>
    public Recording Interface(int ifIndex, string name) => Set(Text($"{InterfaceName}.{ifIndex}"), Kind.Text, name);

    /// <summary>A number of a draw column; <paramref name="index"/> as the column counts.</summary>
    public Recording Draw(string column, string index, int value) => Set($"{column}.{index}", Kind.Integer, Text($"{value}"));

    /// <summary>A draw that the agent writes as text.</summary>
    public Recording Draw(string column, string index, string value) => Set($"{column}.{index}", Kind.Text, value);

    /// <summary>sysObjectID and sysDescr (RFC 3418).</summary>
    public Recording Identity(string objectId, string description)
    {
        Set("1.3.6.1.2.1.1.1.0", Kind.Text, description);
        return Set("1.3.6.1.2.1.1.2.0", Kind.Oid, objectId);
    }

    /// <summary>A Gauge32 or Unsigned32, which are one type on the wire (RFC 2578, section 7.1.7).</summary>
    public Recording Gauge(string column, string index, int value) => Set($"{column}.{index}", Kind.Gauge, Text($"{value}"));

    /// <summary>A Counter32 that runs with the agent's clock, as snmpsim's module 'numeric' counts; for snmpsim only.</summary>
    public Recording Counter(string column, string index, int perSecond, long initial) =>
        Set($"{column}.{index}", Kind.Counter, Text($"rate={perSecond},initial={initial},wrap=1"));

    /// <summary>A pointer to another object.</summary>
    public Recording Pointer(string column, string index, string target) => Set($"{column}.{index}", Kind.Oid, target);

    /// <summary>Any other integer object.</summary>
    public Recording Integer(string column, string index, int value) => Set($"{column}.{index}", Kind.Integer, Text($"{value}"));

    /// <summary>As snmpsim reads it: OID, ASN.1 tag (RFC 3416, section 3), value, in the order of OIDs. sysUpTime runs with the agent's clock.</summary>
    public string AsSnmprec()
    {
        const string UpTime = "1.3.6.1.2.1.1.3.0";
        var lines = _values.Select(v => (v.Key, Line: $"{v.Key}|{Tag(v.Value.Kind)}{(v.Value.Kind == Kind.Counter ? ":numeric" : "")}|{v.Value.Value}\n")).Append((Key: UpTime, Line: UpTime + "|67:numeric|rate=100,initial=1000\n"));
        return string.Concat(lines.OrderBy(line => line.Key, Comparer<string>.Create(CompareOids)).Select(line => line.Line));
    }

    /// <summary>As the pass_persist program of snmpd reads it: OID, type in the words of snmpd.conf(5), value.</summary>
    public string AsPassValues() => Lines((oid, kind, value) => $"{oid}|{Word(kind)}|{value}");

    private string Lines(Func<string, Kind, string, string> line) => string.Concat(_values.Select(v => line(v.Key, v.Value.Kind, v.Value.Value) + "\n"));

    private static int Tag(Kind kind) => kind switch
    {
        Kind.Integer => 2,
        Kind.Text => 4,
        Kind.Oid => 6,
        Kind.Counter => 65,
        _ => 66,
    };

    private static string Word(Kind kind) => kind switch
    {
        Kind.Integer => "integer",
        Kind.Text => "string",
        Kind.Oid => "objectid",
        _ => "gauge",
    };

    private static int CompareOids(string a, string b)
    {
        string[] left = a.Split('.'), right = b.Split('.');
        for (var i = 0; i < Math.Min(left.Length, right.Length); i++)
        {
            var order = uint.Parse(left[i], CultureInfo.InvariantCulture).CompareTo(uint.Parse(right[i], CultureInfo.InvariantCulture));
            if (order != 0)
            {
                return order;
            }
        }

        return left.Length.CompareTo(right.Length);
    }

    private static string Text(FormattableString text) => FormattableString.Invariant(text);

    private Recording Set(string oid, Kind kind, string value)
    {
        _values[oid] = (kind, value);
        return this;
    }
}
