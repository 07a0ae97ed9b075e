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
        _ => what?.GetType().Name ?? throw new ArgumentNullException(nameof(what)),
    };

    private static string TroubleWords(PortTrouble trouble) => trouble switch
    {
        PortTrouble.Short => "a short circuit",
        PortTrouble.InvalidSignature => "an invalid signature",
        PortTrouble.SwitchedOff => "somebody switched it off",
        PortTrouble.Fault => "a fault of the port",
        _ => trouble.ToString(),
    };
}
