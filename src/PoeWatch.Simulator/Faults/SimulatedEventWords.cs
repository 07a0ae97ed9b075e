using System.Globalization;

namespace PoeWatch.Simulator.Faults;

/// <summary>Says in a sentence what happens to the simulated harbour. Pure and thread safe.</summary>
public static class SimulatedEventWords
{
    public static string Of(SimulatedEvent what) => what switch
    {
        DeviceDraws { Draw: { } draw } e => $"{e.DeviceId} now draws {draw}",
        DeviceDraws e => $"{e.DeviceId} is back to its daily life",
        DeviceCreeps e => $"the draw of {e.DeviceId} grows by {e.PerHour} an hour",
        ElementPlugged e => $"{e.ElementId} is {(e.IsPlugged ? "plugged in again" : "unplugged")}",
        StrangerOnPort { Stranger: { } stranger } e => $"something that no design knows hangs on {e.Port} and draws {stranger.DrawAtPse}",
        StrangerOnPort e => $"what no design knows is taken off {e.Port}",
        PortGrants { Highest: { } highest } e => $"{e.Port} grants class {(int)highest} at most",
        PortGrants e => $"{e.Port} grants as designed again",
        PortPrioritySet { Priority: { } priority } e => $"the switch holds {e.Port} for {priority.ToString().ToLower(CultureInfo.InvariantCulture)}",
        PortPrioritySet e => $"{e.Port} has its designed priority again",
        PortFails { Trouble: PortTrouble.None } e => $"the trouble of {e.Port} is over",
        PortFails e => $"{e.Port} has a trouble: {TroubleWords(e.Trouble)}",
        AgentsReachable e => $"{(e.AreReachable ? "answering again" : "silent")}: {string.Join(", ", e.ElementIds)}",
        AgentRestarts e => $"the agent of {e.ElementId} starts anew; power stays",
        LoadCaseForced e => $"load case {e.LoadCaseId} {(e.IsForced ? "comes into force" : "ends")}",
        AirTemperature { Air: { } air } => $"the air takes {air}",
        AirTemperature => "the season decides the air's temperature again",
        SupplyPresent e => $"supply {e.SupplyId} of {e.PseId} group {e.Group} {(e.IsPresent ? "comes back" : "fails")}",
        _ => OfPlace(what) ?? OfAgent(what) ?? what?.GetType().Name ?? throw new ArgumentNullException(nameof(what)),
    };

    private static string? OfPlace(SimulatedEvent what) => what switch
    {
        SegmentGains { Gain: { } gain } e => $"the loop of {e.SegmentId} has {gain} more than designed",
        SegmentGains e => $"the loop of {e.SegmentId} is as designed again",
        SegmentCorrodes e => $"the loop of {e.SegmentId} grows by {e.PerDay} a day",
        DeviceSwapped { TypeId: { } type } e => $"a {type} hangs in the place of {e.DeviceId}",
        DeviceSwapped e => $"{e.DeviceId} is back in its place",
        DevicesChangePlaces e => $"{e.First.Id} and {e.Second.Id} hang in each other's places",
        DeviceAsks { Requested: { } requested } e => $"{e.DeviceId} asks for class {(int)requested}",
        DeviceAsks e => $"{e.DeviceId} asks for its designed class again",
        MainsPresent e => $"mains {Back(e.IsPresent)}: {string.Join(", ", e.ElementIds)}",
        SiteMainsPresent e => $"the mains of the whole site is {Back(e.IsPresent)}",
        UpsOnBattery e => $"{e.UpsId} feeds from its {(e.IsOnBattery ? "battery" : "mains again")}",
        CabinetTemperature { Inside: { } inside } e => $"the cabinets of {e.ElementId} take {inside}",
        CabinetTemperature e => $"the air decides again how warm the cabinets of {e.ElementId} are",
        PortFlaps { Every: { } every } e => $"what hangs on {e.Port} comes and goes every {every}",
        PortFlaps e => $"what hangs on {e.Port} stays",
        PortCounts e => FormattableString.Invariant($"{e.Port} counts {e.PerHour} times {e.Kind} an hour"),
        PortCountsNoMore e => $"{e.Port} counts no more by script",
        PortInVlan { Vlan: { } vlan } e => $"{e.Port} is put into VLAN {vlan}",
        PortInVlan e => $"{e.Port} is in its designed VLAN again",
        PortIgnoresPlan e => $"{e.Port} {(e.IsIgnoring ? "feeds whatever its schedule says" : "keeps its schedule again")}",
        _ => null,
    };

    private static string? OfAgent(SimulatedEvent what) => what switch
    {
        AgentClockSteps e => FormattableString.Invariant($"the clock of the agent of {e.ElementId} is stepped by {e.Step.TotalSeconds:+0.###;-0.###} s"),
        AgentCountersAt e => $"the counters of {e.ElementId} stand at {e.Value}",
        AgentMeterErrs e => FormattableString.Invariant($"the meters of {e.ElementId} show {e.Percent:+0.###;-0.###;0} %"),
        AgentMeterSteps { Milliwatts: { } milliwatts } e => $"the meters of {e.ElementId} show steps of {milliwatts} mW",
        AgentMeterSteps e => $"the meters of {e.ElementId} show steps as built",
        AgentRepeatsWatts { For: { } period } e => $"the agent of {e.ElementId} repeats its watts for {period}",
        AgentRepeatsWatts e => $"the agent of {e.ElementId} tells its watts afresh",
        AgentWattsTimes e => FormattableString.Invariant($"the agent of {e.ElementId} tells its ports' watts times {e.Factor}"),
        AgentRefuses e => $"the agent of {e.ElementId} {(e.IsRefusing ? "refuses its credentials" : "takes its credentials again")}",
        AgentLosesAnswers e => FormattableString.Invariant($"{e.Percent} % of the answers of {e.ElementId} are lost"),
        AgentAnswersAfter e => FormattableString.Invariant($"the agent of {e.ElementId} answers after {e.Delay.TotalSeconds} s"),
        _ => null,
    };

    private static string Back(bool isPresent) => isPresent ? "back" : "lost";

    private static string TroubleWords(PortTrouble trouble) => trouble switch
    {
        PortTrouble.Short => "a short circuit",
        PortTrouble.InvalidSignature => "an invalid signature",
        PortTrouble.SwitchedOff => "somebody switched it off",
        PortTrouble.Fault => "a fault of the port",
        _ => trouble.ToString(),
    };
}
