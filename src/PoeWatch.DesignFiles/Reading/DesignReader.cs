using PoeWatch.Domain.Design.Config;

namespace PoeWatch.DesignFiles.Reading;

/// <summary>Reads the file's top and everything that is not an element of the network.</summary>
internal static class DesignReader
{
    public static DesignConfig Read(MapReader top) => new(top.At)
    {
        Format = top.Text("format"),
        Site = top.Map("site", "site", ReadSite),
        Headroom = top.Map("headroom", "headroom", ReadHeadroom),
        Switches = top.Maps("switches", "switch", ElementReader.ReadSwitch),
        UpsUnits = top.Maps("ups", "ups-unit", ElementReader.ReadUps),
        Injectors = top.Maps("injectors", "injector", ElementReader.ReadInjector),
        Extenders = top.Maps("extenders", "extender", ElementReader.ReadExtender),
        PassThroughSwitches = top.Maps("pass-through-switches", "pass-through-switch", ElementReader.ReadPassThrough),
        CableDefaults = top.Map("cable-defaults", "cable-defaults", InstallationReader.Read),
        Cables = top.Maps("cables", "cable", ReadCable),
        Poles = top.Maps("poles", "pole", ReadPole),
        DeviceTypes = top.Maps("device-types", "device-type", DemandReader.ReadDeviceType),
        Devices = top.Maps("devices", "device", ReadDevice),
        LoadCases = top.Maps("load-cases", "load-case", DemandReader.ReadLoadCase),
        StandardLoadCases = top.Texts("standard-load-cases"),
        Conditions = top.Map("conditions", "conditions", ConditionsReader.Read),
        PortSchedules = top.Maps("port-schedules", "port-schedule", ReadSchedule),
        Maintenance = top.Maps("maintenance", "maintenance-window", ReadPlannedWork),
    };

    public static CableConfig ReadCable(MapReader map) => new(map.At)
    {
        Id = map.Text("id"),
        From = map.Text("from"),
        To = map.Text("to"),
        LengthMeters = map.Text("length-m"),
        Pairs = map.Text("pairs"),
        MeasuredLoopOhms = map.Text("measured-loop-ohm"),
        MeasuredAtCelsius = map.Text("measured-at-c"),
        Installation = InstallationReader.Read(map),
    };

    public static DeviceConfig ReadDevice(MapReader map) => new(map.At)
    {
        Id = map.Text("id"),
        Name = map.Text("name"),
        Type = map.Text("type"),
        Pole = map.Text("pole"),
        Criticality = map.Text("criticality"),
        PagingGroup = map.Text("paging-group"),
        LldpName = map.Text("lldp-name"),
    };

    private static SiteConfig ReadSite(MapReader map) => new(map.At)
    {
        Name = map.Text("name"),
        TimeZone = map.Text("time-zone"),
        Coordinates = map.Map("coordinates", "coordinates", ReadCoordinates),
    };

    private static CoordinatesConfig ReadCoordinates(MapReader map) => new(map.At)
    {
        LatitudeDegrees = map.Text("latitude-deg"),
        LongitudeDegrees = map.Text("longitude-deg"),
    };

    private static PoleConfig ReadPole(MapReader map) => new(map.At)
    {
        Id = map.Text("id"),
        Name = map.Text("name"),
        Coordinates = map.Map("coordinates", "coordinates", ReadCoordinates),
    };

    private static HeadroomConfig ReadHeadroom(MapReader map) => new(map.At)
    {
        AtRun = map.Map("at-run", "headroom-levels", ReadLevels),
        AtPort = map.Map("at-port", "headroom-levels", ReadLevels),
        AtGroup = map.Map("at-group", "headroom-levels", ReadLevels),
        AtSupply = map.Map("at-supply", "headroom-levels", ReadLevels),
    };

    private static HeadroomLevelsConfig ReadLevels(MapReader map) => new(map.At)
    {
        EarlyWatts = map.Text("early-w"),
        EarlyPercent = map.Text("early-percent"),
        LateWatts = map.Text("late-w"),
        LatePercent = map.Text("late-percent"),
    };

    private static PortScheduleConfig ReadSchedule(MapReader map) => new(map.At)
    {
        Id = map.Text("id"),
        Ports = map.Texts("ports"),
        Off = map.Text("off"),
    };

    private static PlannedWorkConfig ReadPlannedWork(MapReader map) => new(map.At)
    {
        Id = map.Text("id"),
        Scope = map.Text("scope"),
        From = map.Text("from"),
        To = map.Text("to"),
        Who = map.Text("who"),
        Reason = map.Text("reason"),
    };
}
