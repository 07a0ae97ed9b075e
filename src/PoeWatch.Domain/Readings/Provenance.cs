namespace PoeWatch.Domain.Readings;

/// <summary>How a number of watts is known: one closed list, carried with every reading from the switch to the export.</summary>
public enum Provenance : byte
{
    /// <summary>Nothing is known. Never shown, summed or stored as 0 W.</summary>
    Unknown = 0,

    /// <summary>The PSE measured it (vendor column, IEEE 802.3.1 actual power, RFC 7460 actual and local, RFC 3433 watts).</summary>
    Measured = 1,

    /// <summary>Computed from measured parts: volts times amperes, energy over time.</summary>
    Derived = 2,

    /// <summary>The PD said so at its own end; cable loss has to be added before it is held against a PSE limit.</summary>
    ReportedByPd = 3,

    /// <summary>The agent itself calls it an estimate.</summary>
    Estimated = 4,

    /// <summary>The port delivers nothing: 0 W is a fact.</summary>
    Off = 5,

    /// <summary>What the PSE set aside for the port: a ceiling.</summary>
    Allocated = 6,

    /// <summary>Allocated or requested over LLDP, at the PD end: a ceiling.</summary>
    Lldp = 7,

    /// <summary>The most that the port's class allows: a ceiling.</summary>
    ClassBound = 8,

    /// <summary>A figure of the type plate.</summary>
    Nameplate = 9,

    /// <summary>A figure of the design.</summary>
    Design = 10,
}
