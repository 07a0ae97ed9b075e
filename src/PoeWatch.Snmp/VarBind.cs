namespace PoeWatch.Snmp;

/// <summary>A variable binding: an object instance and its value (RFC 3416 section 3). Immutable.</summary>
public readonly record struct VarBind(Oid Oid, SnmpValue Value)
{
    public override string ToString() => $"{Oid} = {Value}";
}
