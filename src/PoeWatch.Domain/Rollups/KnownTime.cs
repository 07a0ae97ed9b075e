using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Rollups;

/// <summary>
/// How long something was known in an interval, by how it was known. Draws and ceilings only: of the rest of the interval nothing is known.
/// <c>default</c> is: at no time.
/// </summary>
public readonly record struct KnownTime
{
    private readonly long _measured;
    private readonly long _derived;
    private readonly long _reportedByPd;
    private readonly long _estimated;
    private readonly long _off;
    private readonly long _allocated;
    private readonly long _lldp;
    private readonly long _classBound;

    private KnownTime(long measured, long derived, long reportedByPd, long estimated, long off, long allocated, long lldp, long classBound) =>
        (_measured, _derived, _reportedByPd, _estimated, _off, _allocated, _lldp, _classBound) =
        (measured, derived, reportedByPd, estimated, off, allocated, lldp, classBound);

    /// <summary>The provenances that time is counted of, best first within draws and ceilings.</summary>
    public static ReadOnlySpan<Provenance> Counted =>
    [
        Provenance.Measured, Provenance.Derived, Provenance.ReportedByPd, Provenance.Estimated, Provenance.Off,
        Provenance.Allocated, Provenance.Lldp, Provenance.ClassBound,
    ];

    /// <summary>Time in which a draw was known.</summary>
    public TimeSpan OfDraws => TimeSpan.FromTicks(_measured + _derived + _reportedByPd + _estimated + _off);

    /// <summary>Time in which only a ceiling was known.</summary>
    public TimeSpan OfCeilings => TimeSpan.FromTicks(_allocated + _lldp + _classBound);

    /// <summary>The weakest that entered the draws; where there are none that of the ceilings; unknown where there is nothing.</summary>
    public Provenance Weakest
    {
        get
        {
            Provenance? weakest = null;
            foreach (var provenance in Counted)
            {
                if (Of(provenance) > TimeSpan.Zero && (weakest is null || provenance.IsDraw() || !weakest.Value.IsDraw()))
                {
                    weakest = weakest is { } known ? ProvenanceRules.Sum(known, provenance) : provenance;
                }
            }

            return weakest ?? Provenance.Unknown;
        }
    }

    public static KnownTime operator +(KnownTime a, KnownTime b) => new(
        a._measured + b._measured, a._derived + b._derived, a._reportedByPd + b._reportedByPd, a._estimated + b._estimated, a._off + b._off,
        a._allocated + b._allocated, a._lldp + b._lldp, a._classBound + b._classBound);

    /// <summary>Time known in one way only.</summary>
    public static KnownTime For(Provenance provenance, TimeSpan time)
    {
        return Counted.Contains(provenance)
            ? new KnownTime(
                If(Provenance.Measured), If(Provenance.Derived), If(Provenance.ReportedByPd), If(Provenance.Estimated), If(Provenance.Off),
                If(Provenance.Allocated), If(Provenance.Lldp), If(Provenance.ClassBound))
            : throw new ArgumentOutOfRangeException(nameof(provenance), provenance, "Only draws and ceilings are known.");

        long If(Provenance counted) => counted == provenance ? time.Ticks : 0;
    }

    /// <summary>How long it was known in this way.</summary>
    public TimeSpan Of(Provenance provenance) => TimeSpan.FromTicks(provenance switch
    {
        Provenance.Measured => _measured,
        Provenance.Derived => _derived,
        Provenance.ReportedByPd => _reportedByPd,
        Provenance.Estimated => _estimated,
        Provenance.Off => _off,
        Provenance.Allocated => _allocated,
        Provenance.Lldp => _lldp,
        Provenance.ClassBound => _classBound,
        _ => 0,
    });
}
