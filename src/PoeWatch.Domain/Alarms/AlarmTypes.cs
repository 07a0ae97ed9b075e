namespace PoeWatch.Domain.Alarms;

/// <summary>The alarm types, one per rule.</summary>
public static class AlarmTypes
{
    /// <summary>On a run or a port: too few watts remain, by live draw.</summary>
    public const string HeadroomLow = "headroom-low";

    /// <summary>On a run that nothing measures: too few watts remain, by the design alone.</summary>
    public const string HeadroomLowByDesign = "headroom-low-by-design";

    public const string BudgetHeadroomLow = "budget-headroom-low";

    /// <summary>On a group: too little is left of its supplies, which end before its budget does.</summary>
    public const string SupplyHeadroomLow = "supply-headroom-low";

    public const string DrawAboveDesign = "draw-above-design";

    public const string GrantTooSmall = "grant-too-small";

    public const string PortDark = "port-dark";

    public const string PortUnexpected = "port-unexpected";

    public const string PortFault = "port-fault";

    public const string DesignUpgradeDue = "design-upgrade-due";

    /// <summary>On a group: its configured priorities would cut a critical or high port before a less critical one.</summary>
    public const string PriorityDiffers = "priority-differs";

    /// <summary>On a group: the ports and the group's own figure are in different units; what is in doubt is withheld.</summary>
    public const string UnitConflict = "unit-conflict";

    /// <summary>On a port: another device than the design's stands there, by LLDP.</summary>
    public const string WrongDevice = "wrong-device";

    /// <summary>On a port: a device stands there that the design has elsewhere, by LLDP.</summary>
    public const string MovedDevice = "moved-device";

    /// <summary>On a port: it is in a VLAN other than the design's.</summary>
    public const string WrongVlan = "wrong-vlan";

    /// <summary>On a UPS: it says that it runs on its battery.</summary>
    public const string UpsOnBattery = "ups-on-battery";

    public const string SwitchSilent = "switch-silent";

    /// <summary>The agent answers but refuses, cannot be read or has no POWER-ETHERNET-MIB.</summary>
    public const string PollRefused = "poll-refused";

    /// <summary>On a group: no watt is left of its budget.</summary>
    public const string BudgetReached = "budget-reached";

    /// <summary>On a group: it is off, or its agent reports a smaller budget than designed.</summary>
    public const string SupplyLost = "supply-lost";

    /// <summary>On a port: overload, short, denied or MPS-absent was counted again and again.</summary>
    public const string FaultCountsRising = "fault-counts-rising";

    public const string PortFlapping = "port-flapping";

    /// <summary>On a port: it feeds while its schedule says off.</summary>
    public const string ScheduleNotKept = "schedule-not-kept";

    /// <summary>On a port: a level that it did not have for a week.</summary>
    public const string DrawStep = "draw-step";

    /// <summary>On a port: its base has been rising for weeks.</summary>
    public const string DrawCreep = "draw-creep";

    /// <summary>On a run: at the present trend its headroom ends within the horizon.</summary>
    public const string HeadroomEnds = "headroom-ends";

    /// <summary>On a run: the copper of a segment that is metered at both ends has more resistance than it should.</summary>
    public const string CableResistanceGrown = "cable-resistance-grown";

    /// <summary>On a switch: reading it takes longer than its period.</summary>
    public const string PollOverrun = "poll-overrun";

    /// <summary>On the site: the clock of the machine was stepped.</summary>
    public const string ClockOff = "clock-off";

    public const string CabinetHot = "cabinet-hot";
}
