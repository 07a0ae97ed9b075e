namespace PoeWatch.Domain.Poe;

/// <summary>Clause of IEEE 802.3 that a PSE or PD follows. Their tables differ and are kept apart.</summary>
public enum PoeClause
{
    Unknown = 0,

    /// <summary>Clause 33: Types 1 and 2, classes 0 to 4, two pairs.</summary>
    Clause33 = 33,

    /// <summary>Clause 145: Types 3 and 4, classes 1 to 8, two or four pairs.</summary>
    Clause145 = 145,
}
