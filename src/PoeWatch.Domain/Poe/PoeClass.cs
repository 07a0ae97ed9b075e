namespace PoeWatch.Domain.Poe;

/// <summary>Single-signature power class of IEEE 802.3, 0 to 8. Requested and assigned class are two things: the name of a value says which.</summary>
public enum PoeClass : byte
{
    Class0 = 0,
    Class1 = 1,
    Class2 = 2,
    Class3 = 3,
    Class4 = 4,
    Class5 = 5,
    Class6 = 6,
    Class7 = 7,
    Class8 = 8,
}

/// <summary>PSE and PD type of IEEE 802.3: 1 (af), 2 (at), 3 and 4 (bt).</summary>
public enum PoeType
{
    Unknown = 0,
    Type1 = 1,
    Type2 = 2,
    Type3 = 3,
    Type4 = 4,
}
