using PoeWatch.Domain.Design.Config;

namespace PoeWatch.DesignFiles.Reading;

/// <summary>Reads switches and what stands between them and the devices.</summary>
internal static class ElementReader
{
    public static SwitchConfig ReadSwitch(MapReader map) => new(map.At)
    {
        Id = map.Text("id"),
        Name = map.Text("name"),
        Pole = map.Text("pole"),
        Agent = ReadAgent(map),
        Uplink = map.Map("uplink", "uplink", ReadUplink),
        Groups = map.Maps("groups", "group", ReadGroup),
        Ports = map.Maps("ports", "port", ReadPort),
    };

    public static UpsConfig ReadUps(MapReader map) => new(map.At)
    {
        Id = map.Text("id"),
        Name = map.Text("name"),
        Feeds = map.Texts("feeds"),
        UsableWattHours = map.Text("usable-wh"),
        InverterEfficiencyPercent = map.Text("inverter-efficiency-percent"),
        BatteryHealthPercent = map.Text("battery-health-percent"),
        OtherLoadWatts = map.Text("other-load-w"),
        WantedRuntimeMinutes = map.Text("wanted-runtime-min"),
        Agent = map.Map("agent", "ups-agent", agent => new AgentConfig(agent.At)
        {
            Address = agent.Text("address"),
            Credentials = agent.Text("credentials"),
            PollPeriod = agent.Text("poll-period"),
            AnswersFrom = agent.Texts("answers-from"),
        }),
    };

    public static InjectorConfig ReadInjector(MapReader map) => new(map.At)
    {
        Id = map.Text("id"),
        Kind = map.Text("kind"),
        Source = map.Text("source"),
        Name = map.Text("name"),
        RatingWatts = map.Text("rating-w"),
        OutputVolts = map.Text("output-v"),
        Type = map.Text("type"),
        DataSide = map.Text("data-side"),
        DataSideLengthMeters = map.Text("data-side-length-m"),
        Agent = map.Map("agent", "agent", ReadAgent),
        AgentPort = map.Text("agent-port"),
    };

    public static ExtenderConfig ReadExtender(MapReader map) => new(map.At)
    {
        Id = map.Text("id"),
        Kind = map.Text("kind"),
        Source = map.Text("source"),
        Name = map.Text("name"),
        Pole = map.Text("pole"),
        InputLimitWatts = map.Text("input-limit-w"),
        OwnDrawWatts = map.Text("own-draw-w"),
        Outputs = map.Text("outputs"),
        OutputLimitWatts = map.Text("output-limit-w"),
    };

    public static PassThroughSwitchConfig ReadPassThrough(MapReader map) => new(map.At)
    {
        Id = map.Text("id"),
        Kind = map.Text("kind"),
        Source = map.Text("source"),
        Name = map.Text("name"),
        Pole = map.Text("pole"),
        InputLimitWatts = map.Text("input-limit-w"),
        OwnDrawWatts = map.Text("own-draw-w"),
        EfficiencyPercent = map.Text("efficiency-percent"),
        OutputVolts = map.Text("output-v"),
        Outputs = map.Text("outputs"),
        OutputLimitWatts = map.Text("output-limit-w"),
        TotalLimitWatts = map.Text("total-limit-w"),
        Agent = map.Map("agent", "agent", ReadAgent),
    };

    private static AgentConfig ReadAgent(MapReader map) => new(map.At)
    {
        Address = map.Text("address"),
        Credentials = map.Text("credentials"),
        PollPeriod = map.Text("poll-period"),
        AnswersFrom = map.Texts("answers-from"),
        DrawColumn = map.Map("draw-column", "draw-column", column => new DrawColumnConfig(column.At)
        {
            Oid = column.Text("oid"),
            Unit = column.Text("unit"),
            Index = column.Text("index"),
        }),
    };

    private static UplinkConfig ReadUplink(MapReader map) => new(map.At)
    {
        Switch = map.Text("switch"),
        Medium = map.Text("medium"),
        LengthMeters = map.Text("length-m"),
    };

    private static PseGroupConfig ReadGroup(MapReader map) => new(map.At)
    {
        Group = map.Text("group"),
        PortCount = map.Text("port-count"),
        BudgetWatts = map.Text("budget-w"),
        GuardBandWatts = map.Text("guard-band-w"),
        Allocation = map.Text("allocation"),
        StartsAtOnce = map.Text("starts-at-once"),
        StartIntervalSeconds = map.Text("start-interval-s"),
        Redundancy = map.Text("redundancy"),
        OwnDrawWatts = map.Text("own-draw-w"),
        SupplyEfficiencyPercent = map.Text("supply-efficiency-percent"),
        Supplies = map.Maps("supplies", "supply", supply => new SupplyConfig(supply.At)
        {
            Id = supply.Text("id"),
            RatingWatts = supply.Text("rating-w"),
        }),
    };

    private static PsePortConfig ReadPort(MapReader map) => new(map.At)
    {
        Port = map.Text("port"),
        LimitWatts = map.Text("limit-w"),
        Class = map.Text("class"),
        Type = map.Text("type"),
        Vlan = map.Text("vlan"),
        Criticality = map.Text("criticality"),
        Upgrade = map.Map("upgrade", "upgrade", upgrade => new UpgradeConfig(upgrade.At)
        {
            LimitWatts = upgrade.Text("limit-w"),
            Due = upgrade.Text("due"),
        }),
    };
}
