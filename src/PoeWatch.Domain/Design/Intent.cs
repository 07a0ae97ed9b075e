using System.Collections.Immutable;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Design;

/// <summary>A span of the day in the site's own time, half-open; it may run over midnight. Equal ends mean the whole day.</summary>
public readonly record struct DailyWindow(TimeOnly From, TimeOnly To)
{
    public bool Contains(TimeOnly time) =>
        From == To || (From < To ? time >= From && time < To : time >= From || time < To);
}

/// <summary>A situation that loads coincide in. Where neither window nor months are given it may come at any time.</summary>
/// <param name="Window">Hours in which it can be in force; null for all day.</param>
/// <param name="Months">Months in which it can be in force, 1..12; empty for all year.</param>
public sealed record LoadCase(string Id, string Name, DailyWindow? Window, ImmutableSortedSet<int> Months)
{
    /// <summary>Conditions that coincide in it; empty for a mild, quiet day or where the design gives demands by the case itself.</summary>
    public ImmutableSortedSet<LoadCondition> Conditions { get; init; } = [];

    /// <summary>Air temperature that the case assumes: heaters run by their own threshold. Null: with <see cref="LoadCondition.Cold"/> every heater runs.</summary>
    public Temperature? Ambient { get; init; }

    /// <summary>Share of the devices, 0..1, that a condition is reckoned to strike at one moment in a group, a switch or the site; 1 where none is given. A run and a pole never use it.</summary>
    public ImmutableSortedDictionary<LoadCondition, Ratio> Coincidence { get; init; } = ImmutableSortedDictionary<LoadCondition, Ratio>.Empty;
}

/// <summary>When the design cuts power to ports. Off by plan is never an alarm.</summary>
public sealed record PortSchedule(string Id, ImmutableSortedSet<PsePortRef> Ports, DailyWindow Off);

/// <summary>The headroom that must remain at one place: the larger of the two counts.</summary>
public readonly record struct HeadroomFloor(Power Watts, Ratio Percent)
{
    /// <summary>The floor in watts for a limit: the larger of the absolute and the relative figure.</summary>
    public Power For(Power limit) => Power.Max(Watts, limit * Percent.Fraction);
}

/// <summary>The floors of one place on two levels: below <paramref name="Early"/> is a minor alarm, below <paramref name="Late"/> a major one.</summary>
public readonly record struct HeadroomLevels(HeadroomFloor Early, HeadroomFloor Late);

/// <summary>Minimum headroom at run, port, group and supply, on two levels each.</summary>
public sealed record HeadroomPolicy(HeadroomLevels AtRun, HeadroomLevels AtPort, HeadroomLevels AtGroup, HeadroomLevels AtSupply);
