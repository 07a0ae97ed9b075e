namespace PoeWatch.Domain.DrawSheets;

/// <summary>What a column of a sheet holds.</summary>
public enum SheetQuantity
{
    Unknown = 0,

    /// <summary>Watts that the port gives now, measured by the PSE.</summary>
    Draw,

    /// <summary>Watts that the PSE set aside for the port.</summary>
    Allocated,

    /// <summary>Most watts that the port may give, as configured.</summary>
    Limit,

    /// <summary>Volts at the port.</summary>
    Volts,

    /// <summary>Amperes at the port.</summary>
    Amperes,

    /// <summary>The maker's own class column, with its own coding.</summary>
    PortClass,

    /// <summary>entPhysicalIndex of the port: the maker's own pointer from a port to its interface.</summary>
    Entity,

    /// <summary>By group: true(1) where the group measures, false(2) where its draw column is an allocation.</summary>
    Measures,
}

/// <summary>How a column counts.</summary>
public enum SheetUnit
{
    /// <summary>A plain number: a class, a pointer or a truth value.</summary>
    None = 0,
    Milliwatt,
    Deciwatt,
    Watt,
    Millivolt,
    Decivolt,
    Volt,
    Milliampere,
    Ampere,
}

/// <summary>What follows a column in the OID of a value.</summary>
public enum SheetIndex
{
    Unknown = 0,

    /// <summary>RFC 3621's group and port.</summary>
    GroupAndPort,

    /// <summary>The port number alone; the switch has one group.</summary>
    Port,

    /// <summary>ifIndex, mapped to the port by interface evidence.</summary>
    IfIndex,

    /// <summary>dot1dBasePort of BRIDGE-MIB (RFC 4188), mapped through dot1dBasePortIfIndex.</summary>
    BasePort,

    /// <summary>RFC 3621's group alone.</summary>
    Group,
}

/// <summary>How a class column writes classes.</summary>
public enum ClassCoding
{
    /// <summary>As RFC 3621: class0(1), class1(2) and so on.</summary>
    ClassPlusOne = 0,

    /// <summary>The class itself.</summary>
    ClassItself,
}

/// <summary>Factors of units. Pure.</summary>
public static class SheetUnits
{
    /// <summary>Counts of the unit in one watt, volt or ampere; 1 for a plain number. Divide by it: a tenth has no exact binary form.</summary>
    public static double PerBase(this SheetUnit unit) => unit switch
    {
        SheetUnit.Milliwatt or SheetUnit.Millivolt or SheetUnit.Milliampere => 1000,
        SheetUnit.Deciwatt or SheetUnit.Decivolt => 10,
        _ => 1,
    };
}
