namespace PoeWatch.Domain.Readings;

/// <summary>What each <see cref="Provenance"/> allows, and its one written name. Pure and thread safe.</summary>
public static class ProvenanceRules
{
    /// <summary>True where the number may be held against the design as a draw.</summary>
    public static bool IsDraw(this Provenance provenance) => provenance
        is Provenance.Measured or Provenance.Derived or Provenance.ReportedByPd or Provenance.Estimated or Provenance.Off;

    /// <summary>True where the number bounds the draw from above; people then see "at least X W left", never a draw.</summary>
    public static bool IsCeiling(this Provenance provenance) => provenance
        is Provenance.Allocated or Provenance.Lldp or Provenance.ClassBound;

    /// <summary>The name in API, database, exports and screens.</summary>
    public static string Name(this Provenance provenance) => provenance switch
    {
        Provenance.Measured => "measured",
        Provenance.Derived => "derived",
        Provenance.ReportedByPd => "reported-by-pd",
        Provenance.Estimated => "estimated",
        Provenance.Off => "off",
        Provenance.Allocated => "allocated",
        Provenance.Lldp => "lldp",
        Provenance.ClassBound => "class-bound",
        Provenance.Nameplate => "nameplate",
        Provenance.Design => "design",
        _ => "unknown",
    };

    /// <summary>
    /// How a sum of two numbers is known. A part that is unknown makes the sum unknown, a ceiling makes it a ceiling;
    /// <see cref="Provenance.Off"/> is exact and takes the other's name.
    /// </summary>
    public static Provenance Sum(Provenance a, Provenance b)
    {
        if (a == Provenance.Off)
        {
            return b;
        }

        if (b == Provenance.Off)
        {
            return a;
        }

        return Weakness(a) >= Weakness(b) ? a : b;
    }

    private static int Weakness(Provenance provenance) => provenance switch
    {
        Provenance.Off => 0,
        Provenance.Measured => 1,
        Provenance.Derived => 2,
        Provenance.ReportedByPd => 3,
        Provenance.Estimated => 4,
        Provenance.Allocated => 5,
        Provenance.Lldp => 6,
        Provenance.ClassBound => 7,
        Provenance.Nameplate => 8,
        Provenance.Design => 9,
        _ => 10,
    };
}
