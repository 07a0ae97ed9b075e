namespace PoeWatch.Domain.Alarms;

/// <content>The rows.</content>
public static partial class AlarmTypeTable
{
    private static IEnumerable<AlarmTypeInfo> Rows() => [.. OfPower(), .. OfPorts(), .. OfAgents()];

    private static AlarmTypeInfo[] OfPower() =>
    [
        new(AlarmTypes.HeadroomLow, "run, port", "Too few watts are left before a limit breaks, by what flows now.",
            "A device was added or swapped for a stronger one.", "A heater, light or motor runs that the design has off now.",
            "The design's demand is too small.", "A device or connector is failing and draws more."),
        new(AlarmTypes.HeadroomLowByDesign, "run", "Too few watts are left by the design alone; nothing measures here.",
            "The design puts more on the run than its feed and copper carry.", "A length, gauge or demand in the design is wrong."),
        new(AlarmTypes.BudgetHeadroomLow, "group", "A PSE group draws nearly all of its budget.",
            "Devices were added on this switch.", "Heaters or lights of many poles run together.", "A supply is lost and the switch lowered its budget."),
        new(AlarmTypes.BudgetReached, "group", "A PSE group has no watt left: it refuses or drops ports.",
            "More is connected than the budget feeds.", "A supply is lost and the switch lowered its budget.", "Everything started at once after an outage.")
        {
            Timings = Delays(10, 60),
        },
        new(AlarmTypes.SupplyHeadroomLow, "group", "The supplies of a group leave too little, or would with the largest one lost.",
            "Devices were added on this switch.", "A supply was replaced by a smaller one.", "Heaters or lights of many poles run together."),
        new(AlarmTypes.SupplyLost, "group", "A supply of a group is off or lost: the group is off, or has a smaller budget than designed.",
            "A mains fuse, breaker or plug of the supply.", "The supply itself failed.", "A battery ran empty.", "The budget was set lower in the switch.")
        {
            Timings = Delays(10, 60),
        },
        new(AlarmTypes.UpsOnBattery, "ups", "A UPS feeds its switches from its battery.",
            "The mains is gone.", "The UPS' own fuse, breaker or plug.", "A test of the battery."),
        new(AlarmTypes.DrawAboveDesign, "port", "A port draws more than the design asks for now.",
            "A device was added or swapped.", "A heater or light runs at the wrong time.", "The design's demand is too small.", "A device is failing."),
        new(AlarmTypes.DrawStep, "port", "A port's draw changed at once to a level that it did not have for a week.",
            "A device was swapped, added or taken away behind the port.", "A part of a device failed: a light, a heater, a radio.",
            "New firmware or a changed setting of the device."),
        new(AlarmTypes.DrawCreep, "port", "The base of a port's draw has been rising for weeks, slowly and surely.",
            "Water or corrosion in a connector or cable.", "A device that ages: a fan, a dirty heater, a failing supply.",
            "Devices were added one by one, or their work grew."),
        new(AlarmTypes.HeadroomEnds, "run", "At the present trend the headroom of a run ends within weeks.",
            "What makes the draw creep: water, corrosion, ageing, devices added one by one.", "A season that the design does not have."),
        new(AlarmTypes.CableResistanceGrown, "run", "The copper of a cable that is metered at both ends has more resistance than it should.",
            "Water or corrosion in a joint or connector.", "A contact or screw that came loose.", "Another cable than the design's: thinner, longer, copper-clad aluminium.",
            "A loop in the design that nobody measured.")
        {
            // Reckoned once a day, in percent: what hovers about the floor stays raised. One estimate in a hundred is off, which is some a year for each segment: four days have to say
            // it one after the other.
            Timings = Deadband(Delays(3 * 86_400, 86_400), 3),
        },
        new(AlarmTypes.DesignUpgradeDue, "port", "The design counts on a better port that is still to come.", "The work is planned and not done or not noted."),
    ];

    private static AlarmTypeInfo[] OfPorts() =>
    [
        new(AlarmTypes.GrantTooSmall, "port", "The PSE granted a class that gives less than the design needs.",
            "The device started before the port's limit was raised and keeps its small grant.", "The port's limit or power mode is set too low.",
            "The PSE was short of budget and granted a lower class.", "A surge protector or injector hides the class."),
        new(AlarmTypes.PortDark, "port", "A device is designed here and is not fed.",
            "The device is off or unplugged.", "The cable or a connector is broken.", "The port is switched off.", "The budget ran short and the switch cut the port."),
        new(AlarmTypes.PortFault, "port", "The PSE reports a fault of the port and feeds nothing there.",
            "Water in a connector or a damaged cable.", "A surge protector that a storm broke.", "A device with a short.")
        {
            Timings = Delays(10, 60),
        },
        new(AlarmTypes.FaultCountsRising, "port", "The PSE counts overloads, shorts, refusals or lost keep-alives at a port again and again.",
            "A loose or wet connector.", "A device that starts, asks for too much and is cut.", "A device that sleeps below the keep-alive current.",
            "The budget is used up, where refusals are counted.")
        {
            Timings = Delays(10, 600),
        },
        new(AlarmTypes.PortFlapping, "port", "A port goes on and off again and again.",
            "A loose connector that moves in the wind.", "A device that restarts: overheated, or too little power to start.", "A switch that is short of budget.")
        {
            Timings = Delays(0, 600),
        },
        new(AlarmTypes.PortUnexpected, "port", "A port feeds where the design has nothing.",
            "A device was added and not entered in the design.", "A device was plugged into the wrong port.", "An injector was taken out."),
        new(AlarmTypes.ScheduleNotKept, "port", "A port feeds while its schedule says off.",
            "The schedule was not set in the switch, or was lost with a reset.", "The clock or time zone of the switch is wrong.", "Somebody switched the port on by hand.")
        {
            // The clock of a switch may be minutes off, and schedules work to the minute.
            Timings = Delays(300, 60),
        },
        new(AlarmTypes.PriorityDiffers, "group", "The switch's priorities would cut a critical port before a less critical one.",
            "The switch has its default priority, low for every port.", "It was replaced or reset.", "A device moved, or the design changed and the switch did not."),
        new(AlarmTypes.WrongDevice, "port", "Another device than the design's stands there, by LLDP.",
            "A device was swapped.", "Two cables were swapped.", "The name in the device or in the design is wrong."),
        new(AlarmTypes.MovedDevice, "port", "A device stands there that the design has elsewhere, by LLDP.", "Two cables were swapped.", "A device was moved to another port."),
        new(AlarmTypes.WrongVlan, "port", "The port is in a VLAN other than the design's.", "The port was set anew after a swap.", "The design was not changed with the switch."),
    ];

    private static AlarmTypeInfo[] OfAgents() =>
    [
        new(AlarmTypes.SwitchSilent, "switch", "A switch does not answer; nothing is known of what it feeds.",
            "Its mains or supply.", "The fibre or uplink.", "SNMP switched off, a changed community, a filter."),
        new(AlarmTypes.PollRefused, "switch", "A switch answers but does not let itself be read.",
            "Changed credentials.", "A view or filter in the switch.", "Another device at the address."),
        new(AlarmTypes.PollOverrun, "switch", "Reading a switch takes longer than its poll period, so readings come late.",
            "A poll period that is too short for the agent.", "A management processor that is busy.", "Answers that get lost on the way.")
        {
            Timings = Delays(120, 300),
        },
        new(AlarmTypes.UnitConflict, "group", "Ports and the group's own figure are in different units; what is in doubt is withheld.",
            "A wrong unit in the design or a draw sheet.", "New firmware that writes other units."),
        new(AlarmTypes.ClockOff, "site", "The clock of this machine was stepped: times in the history jump.",
            "NTP does not run or cannot reach its servers.", "The machine was paused or moved.", "Somebody set the clock.")
        {
            Timings = Delays(0, 0),
        },
        new(AlarmTypes.CabinetHot, "cabinet", "A cabinet is so hot that its switch or supply may fail or lower its power.",
            "Sun on the cabinet with a blocked filter or a fan that stands still.", "More heat inside than the cabinet was made for.", "A thermometer in the wrong place.")
        {
            Timings = Deadband(Delays(120, 300), 2),
        },
    ];
}
