namespace PoeWatch.Snmp.Walking;

/// <summary>What is known of a column's end beforehand.</summary>
internal enum KnownEnd : byte
{
    /// <summary>Nothing: it is walked until it ends.</summary>
    None = 0,

    /// <summary>The last walk's last row; whether anything follows it now is still to be seen.</summary>
    Expected,

    /// <summary>Nothing follows that row.</summary>
    Confirmed,
}

/// <summary>How far one column is read: small, so that those of a walk stand side by side. The rows are in <see cref="WalkRows"/>.</summary>
internal struct ColumnProgress
{
    /// <summary>Key of the newest row; 0 where it has none or there is no row.</summary>
    public ulong NewestKey { get; set; }

    /// <summary>Key of the row that was the last one on the last walk; 0 where it has none or that is unknown.</summary>
    public ulong LastKey { get; set; }

    public KnownEnd End { get; set; }

    public bool IsClosed { get; set; }
}
