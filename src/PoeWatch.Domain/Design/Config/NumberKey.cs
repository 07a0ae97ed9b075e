namespace PoeWatch.Domain.Design.Config;

/// <summary>What a numeric key of a design takes; the unit is the end of its name. Both bounds are allowed values.</summary>
/// <param name="Name">Key as written.</param>
/// <param name="Fallback">What counts where nothing is written; null where the key must be written or absence means something of its own.</param>
public sealed record NumberKey(string Name, double Min, double Max, double? Fallback = null)
{
    /// <summary>True where only whole numbers are taken.</summary>
    public bool IsWhole { get; init; }

    /// <summary>Why the bounds are what they are, with what to do; empty where they are plain common sense.</summary>
    public string Reason { get; init; } = "";
}

/// <summary>Every numeric key of a design with its range and default: the one table that check, schema test and documentation share.</summary>
public static class DesignNumbers
{
    /// <summary>Ceiling of a Type 4 port: IEEE 802.3-2022 Table 145-16.</summary>
    public const double PortCeilingWatts = 99.9;

    /// <summary>Longest channel of balanced cabling (90 m and 10 m of cords): common practice after ISO/IEC 11801 and TIA-568.</summary>
    public const double SegmentMaxMeters = 100;

    private const string PortCeiling = "A PSE port delivers at most 99.9 W (IEEE 802.3, Type 4).";

    private const string ReachRule =
        "A copper segment reaches at most 100 m (the 100 m rule): place an extender or a pass-through switch within 100 m, or use fibre.";

    public static NumberKey Latitude { get; } = new("latitude-deg", -90, 90);

    public static NumberKey Longitude { get; } = new("longitude-deg", -180, 180);

    public static NumberKey Group { get; } = new("group", 1, int.MaxValue, 1) { IsWhole = true };

    public static NumberKey PortCount { get; } = new("port-count", 1, 1024) { IsWhole = true };

    public static NumberKey Budget { get; } = new("budget-w", 1, 100_000);

    /// <summary>IEEE 802.1Q: 0 and 4095 are reserved.</summary>
    public static NumberKey Vlan { get; } = new("vlan", 1, 4094) { IsWhole = true };

    public static NumberKey GuardBand { get; } = new("guard-band-w", 0, 10_000, 0);

    public static NumberKey StartsAtOnce { get; } = new("starts-at-once", 1, 1024) { IsWhole = true };

    /// <summary>1 s by default: common practice, no source. Longer than an inrush lasts (75 ms).</summary>
    public static NumberKey StartInterval { get; } = new("start-interval-s", 0.1, 600, 1);

    public static NumberKey SupplyRating { get; } = new("rating-w", 1, 100_000);

    public static NumberKey GroupOwnDraw { get; } = new("own-draw-w", 0, 10_000, 0);

    /// <summary>90 % by default: common practice, no source.</summary>
    public static NumberKey SupplyEfficiency { get; } = new("supply-efficiency-percent", 50, 100, 90);

    public static NumberKey UpsEnergy { get; } = new("usable-wh", 1, 10_000_000);

    /// <summary>90 % by default: common practice, no source.</summary>
    public static NumberKey InverterEfficiency { get; } = new("inverter-efficiency-percent", 50, 100, 90);

    /// <summary>80 % by default, an aged battery: common practice, no source.</summary>
    public static NumberKey BatteryHealth { get; } = new("battery-health-percent", 10, 100, 80);

    public static NumberKey UpsOtherLoad { get; } = new("other-load-w", 0, 100_000, 0);

    public static NumberKey WantedRuntime { get; } = new("wanted-runtime-min", 1, 10_080);

    public static NumberKey PortLimit { get; } = new("limit-w", 1, PortCeilingWatts) { Reason = PortCeiling };

    public static NumberKey PoeClass { get; } = new("class", 0, 8) { IsWhole = true, Reason = "IEEE 802.3 knows the classes 0 to 8." };

    public static NumberKey PoeType { get; } = new("type", 1, 4) { IsWhole = true, Reason = "IEEE 802.3 knows the types 1 to 4." };

    public static NumberKey InjectorRating { get; } = new("rating-w", 1, PortCeilingWatts) { Reason = PortCeiling };

    public static NumberKey InjectorVolts { get; } = new("output-v", 44, 57, 54) { Reason = "A PSE puts out 44 V to 57 V (IEEE 802.3)." };

    public static NumberKey DataSideLength { get; } = new("data-side-length-m", 0, SegmentMaxMeters, 0) { Reason = ReachRule };

    public static NumberKey InputLimit { get; } = new("input-limit-w", 1, PortCeilingWatts, 71.3) { Reason = PortCeiling };

    public static NumberKey ExtenderOwnDraw { get; } = new("own-draw-w", 0, 60, 2);

    public static NumberKey PassThroughOwnDraw { get; } = new("own-draw-w", 0, 60, 8);

    public static NumberKey ExtenderOutputs { get; } = new("outputs", 1, 16, 2) { IsWhole = true };

    public static NumberKey PassThroughOutputs { get; } = new("outputs", 1, 64) { IsWhole = true };

    public static NumberKey OutputLimit { get; } = new("output-limit-w", 1, PortCeilingWatts, 30) { Reason = PortCeiling };

    public static NumberKey TotalLimit { get; } = new("total-limit-w", 1, PortCeilingWatts) { Reason = PortCeiling };

    public static NumberKey Efficiency { get; } = new("efficiency-percent", 50, 100);

    public static NumberKey PassThroughVolts { get; } = new("output-v", 44, 57) { Reason = "A PSE puts out 44 V to 57 V (IEEE 802.3)." };

    public static NumberKey CableLength { get; } = new("length-m", 0.1, SegmentMaxMeters) { Reason = ReachRule };

    public static NumberKey UplinkLength { get; } = new("length-m", 0.1, 200_000);

    public static NumberKey MeasuredLoop { get; } = new("measured-loop-ohm", 0.01, 200);

    /// <summary>60 C by default: sun-heated pole conduit, common practice, no source.</summary>
    public static NumberKey ConductorCelsius { get; } = new("conductor-c", -60, 125, 60);

    /// <summary>How warm it is around the cable.</summary>
    public static NumberKey AmbientCelsius { get; } = new("ambient-c", -60, 100);

    public static NumberKey MeasuredAtCelsius { get; } = new("measured-at-c", -60, 125);

    public static NumberKey CordLength { get; } = new("cord-length-m", 0, SegmentMaxMeters, 0) { Reason = ReachRule };

    public static NumberKey CordLoop { get; } = new("cord-loop-ohm", 0, 50);

    public static NumberKey CordCelsius { get; } = new("cord-c", -60, 125);

    public static NumberKey Contacts { get; } = new("contacts", 0, 20, 0) { IsWhole = true };

    public static NumberKey ContactOhms { get; } = new("contact-ohm", 0, 5, 0.2);

    public static NumberKey BundledCables { get; } = new("bundled-cables", 1, 100)
    {
        IsWhole = true,
        Reason = "The heat of bundles is published for about 100 cables and fewer: write 1 to 100, and split larger bundles.",
    };

    public static NumberKey PairUnbalance { get; } = new("pair-unbalance-percent", 0, 50, 0);

    public static NumberKey PairsetLimit { get; } = new("pairset-limit-a", 0.1, 2);

    public static NumberKey Demand { get; } = new("demand-w", 0, PortCeilingWatts) { Reason = PortCeiling };

    public static NumberKey LoadCaseDemand { get; } = new("demands-w", 0, PortCeilingWatts) { Reason = PortCeiling };

    public static NumberKey IdleDemand { get; } = new("idle-w", 0, PortCeilingWatts) { Reason = PortCeiling };

    public static NumberKey TypicalDemand { get; } = new("typical-w", 0, PortCeilingWatts) { Reason = PortCeiling };

    public static NumberKey PeakDemand { get; } = new("peak-w", 0, PortCeilingWatts) { Reason = PortCeiling };

    public static NumberKey AddedDemand { get; } = new("adds-w", 0, PortCeilingWatts) { Reason = PortCeiling };

    public static NumberKey TakenDemand { get; } = new("takes-w", 0, PortCeilingWatts) { Reason = PortCeiling };

    public static NumberKey HeaterStartsCelsius { get; } = new("heater-starts-c", -60, 60);

    public static NumberKey BootPeak { get; } = new("boot-peak-w", 0, PortCeilingWatts) { Reason = PortCeiling };

    /// <summary>30 s by default: a camera report measured boots of about that length (ipvm, camera power report).</summary>
    public static NumberKey BootSeconds { get; } = new("boot-s", 1, 900, 30);

    public static NumberKey LoadCaseAmbient { get; } = new("ambient-c", -60, 60);

    public static NumberKey Coincidence { get; } = new("coincidence", 0, 1) { Reason = "A share of the devices lies from 0 to 1; 1 means all at once." };

    public static NumberKey Month { get; } = new("months", 1, 12) { IsWhole = true, Reason = "Months are numbers from 1 (January) to 12 (December)." };

    public static NumberKey EarlyWatts { get; } = new("early-w", 0, 10_000);

    public static NumberKey EarlyPercent { get; } = new("early-percent", 0, 100);

    public static NumberKey LateWatts { get; } = new("late-w", 0, 10_000);

    public static NumberKey LatePercent { get; } = new("late-percent", 0, 100);
}
