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

    private KnownTime(ReadOnlySpan<long> ticks) => (_measured, _derived, _reportedByPd, _estimated, _off, _allocated, _lldp, _classBound) =
        (ticks[0], ticks[1], ticks[2], ticks[3], ticks[4], ticks[5], ticks[6], ticks[7]);

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

    public static KnownTime operator +(KnownTime a, KnownTime b)
    {
        Span<long> ticks = stackalloc long[Counted.Length];
        for (var i = 0; i < ticks.Length; i++)
        {
            ticks[i] = (a.Of(Counted[i]) + b.Of(Counted[i])).Ticks;
        }

        return new KnownTime(ticks);
    }

    /// <summary>Time known in one way only.</summary>
    public static KnownTime For(Provenance provenance, TimeSpan time)
    {
        Span<long> ticks = stackalloc long[Counted.Length];
        ticks.Clear();
        var place = Counted.IndexOf(provenance);
        ArgumentOutOfRangeException.ThrowIfNegative(place, nameof(provenance));
        ticks[place] = time.Ticks;
        return new KnownTime(ticks);
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
