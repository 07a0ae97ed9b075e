namespace PoeWatch.Domain.Readings;

/// <summary>Where a UPS takes its output from: upsOutputSource of RFC 1628 with its numbers.</summary>
public enum UpsSource
{
    Unknown = 0,
    Other = 1,

    /// <summary>There is no output.</summary>
    None = 2,
    Normal = 3,
    Bypass = 4,
    Battery = 5,
    Booster = 6,
    Reducer = 7,
}

/// <summary>What is left in the battery: upsBatteryStatus of RFC 1628 with its numbers; its unknown(1) is <see cref="Unknown"/>.</summary>
public enum UpsBatteryState
{
    Unknown = 0,
    Normal = 2,

    /// <summary>No more is left than the UPS is set to warn at.</summary>
    Low = 3,

    /// <summary>The load cannot be held when the mains is gone.</summary>
    Depleted = 4,
}
