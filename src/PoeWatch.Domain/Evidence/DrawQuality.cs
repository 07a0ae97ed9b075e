using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Evidence;

/// <summary>What a number of watts may be taken for, in the words of every export. Pure and thread safe.</summary>
public static class DrawQuality
{
    /// <summary>"draw", "draw-at-pd", "estimate", "ceiling", "design-figure" or "none".</summary>
    public static string Of(Provenance provenance) => provenance switch
    {
        Provenance.Measured or Provenance.Derived or Provenance.Off => "draw",
        Provenance.Estimated => "estimate",
        Provenance.ReportedByPd => "draw-at-pd",
        Provenance.Unknown => "none",
        _ when provenance.IsCeiling() => "ceiling",
        _ => "design-figure",
    };
}
