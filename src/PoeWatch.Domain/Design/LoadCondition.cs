namespace PoeWatch.Domain.Design;

/// <summary>What makes devices take more than they do on a mild, quiet day. A load case is a set of conditions that coincide.</summary>
public enum LoadCondition
{
    Unknown = 0,

    /// <summary>Infrared lamps and lights are on.</summary>
    Dark = 1,

    /// <summary>It is colder than the temperature at which a device starts its heater.</summary>
    Cold = 2,

    /// <summary>Rain or spray: wipers run.</summary>
    Wet = 3,

    /// <summary>One speaker pages.</summary>
    PagingOne = 4,

    /// <summary>The speakers of one group page.</summary>
    PagingGroup = 5,

    /// <summary>Every speaker pages at once.</summary>
    PagingAll = 6,

    /// <summary>Somebody walks by: lights that dim without motion are at full.</summary>
    Motion = 7,

    /// <summary>All devices start at once after an outage: boot peaks and inrush.</summary>
    ColdStart = 8,
}
