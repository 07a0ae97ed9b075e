using System.Collections.Immutable;
using System.Text.RegularExpressions;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Simulator.World;
using static PoeWatch.Simulator.Faults.ScriptNumbers;

namespace PoeWatch.Simulator.Faults;

/// <summary>One thing wrong with a written script: the line, counted from 1, what was written, what is wrong and what to do.</summary>
public sealed record FaultScriptProblem(int Line, string Value, string Message, string Remedy)
{
    public override string ToString() => FormattableString.Invariant($"line {Line}: {Message} Written: '{Value}'. {Remedy}");
}

/// <summary>A script, or everything that is wrong with its text. <paramref name="Script"/> is null exactly where there are problems.</summary>
public sealed record FaultScriptReading(FaultScript? Script, ImmutableArray<FaultScriptProblem> Problems);

/// <summary>
/// Reads a fault script: one event a line, <c>at 30s device horn-03 draws 21 W</c>; empty lines and lines that begin with # are
/// passed over. Every name is looked up in the design. Times are s, m, h or d since the start of the harbour, in real time.
/// </summary>
public static partial class FaultScriptText
{
    private const int MaxLines = 100_000;

    private static readonly ImmutableArray<ScriptSentence> Sentences =
    [
        new("device ID draws 21 W | draws as usual", DeviceDraws(), ReadDeviceDraws),
        new("device ID creeps 0.5 W/h", DeviceCreeps(), ReadDeviceCreeps),
        new("element ID unplugged | plugged in", ElementPlugged(), ReadElementPlugged),
        new("port ID:GROUP/PORT carries 8 W class 3 | carries nothing", PortCarries(), ReadPortCarries),
        new("port ID:GROUP/PORT grants class 4 | grants as designed", PortGrants(), ReadPortGrants),
        new("port ID:GROUP/PORT priority critical | high | low | as designed", PortPriorities(), ReadPortPriority),
        new("port ID:GROUP/PORT trouble fault | short | signature | off | none", PortTroubles(), ReadPortTrouble),
        new("agents ID, ID silent | answering", AgentsReachable(), ReadAgentsReachable),
        new("agent ID restarts", AgentRestarts(), ReadAgentRestarts),
        new("load-case ID begins | ends", LoadCases(), ReadLoadCase),
        new("air -12 C | air by season", Air(), ReadAir),
        new("supply ID:GROUP SUPPLY lost | back", Supplies(), ReadSupply),
        .. ElementSentences.All,
        .. PortSentences.All,
        .. AgentSentences.All,
    ];

    /// <summary>The sentences that a script may use, for help texts.</summary>
    public static IEnumerable<string> Help => Sentences.Select(sentence => "at 30s " + sentence.Pattern);

    /// <summary>Reads a whole text; every problem is told, not only the first.</summary>
    public static FaultScriptReading Read(string text, DesignModel design)
    {
        var events = new List<ScriptedEvent>();
        var problems = ImmutableArray.CreateBuilder<FaultScriptProblem>();
        var ports = PseShape.AllOf(design).SelectMany(shape => shape.Groups).SelectMany(group => group.Ports).Select(port => port.Ref).ToHashSet();
        var number = 0;
        foreach (var raw in text.Split('\n'))
        {
            number++;
            var line = raw.Trim();
            if (number > MaxLines)
            {
                problems.Add(new(number, "", $"The script has more than {MaxLines} lines.", "Split it."));
                break;
            }

            if (line.Length > 0 && line[0] != '#')
            {
                ReadLine(line, new ScriptNames(design, ports, number, problems), events);
            }
        }

        return problems.Count == 0 ? new(new FaultScript(events), []) : new(null, problems.ToImmutable());
    }

    private static void ReadLine(string line, ScriptNames names, List<ScriptedEvent> events)
    {
        var at = Moment().Match(line);
        if (!at.Success)
        {
            names.Problem(line, "The line does not begin with a time.", "Begin it with 'at' and a time, such as 'at 30s' or 'at 2.5m'.");
            return;
        }

        var what = line[at.Length..];
        foreach (var sentence in Sentences)
        {
            var match = sentence.Shape.Match(what);
            if (match.Success)
            {
                if (sentence.Read(match, names) is { } happening)
                {
                    events.Add(new ScriptedEvent(Time(at), happening));
                }

                return;
            }
        }

        names.Problem(what, "Nothing of this kind can happen.", "Write one of: " + string.Join("; ", Sentences.Select(s => s.Pattern)) + ".");
    }

    private static DeviceDraws? ReadDeviceDraws(Match match, ScriptNames names) =>
        names.Device(match) is { } id ? new DeviceDraws(id, Watts(match)) : null;

    private static DeviceCreeps? ReadDeviceCreeps(Match match, ScriptNames names) =>
        names.Device(match) is { } id ? new DeviceCreeps(id, Watts(match)!.Value) : null;

    private static ElementPlugged? ReadElementPlugged(Match match, ScriptNames names) =>
        names.Element(match) is { } id ? new ElementPlugged(id, match.Groups["in"].Success) : null;

    private static StrangerOnPort? ReadPortCarries(Match match, ScriptNames names) =>
        names.Port(match) is { } port
            ? new StrangerOnPort(port, Watts(match) is { } watts ? new Stranger(watts, Class(match)!.Value) : null)
            : null;

    private static PortGrants? ReadPortGrants(Match match, ScriptNames names) =>
        names.Port(match) is { } port ? new PortGrants(port, Class(match)) : null;

    private static PortPrioritySet? ReadPortPriority(Match match, ScriptNames names) =>
        names.Port(match) is { } port
            ? new PortPrioritySet(port, match.Groups["priority"].Value switch
            {
                "critical" => Criticality.Critical,
                "high" => Criticality.High,
                "low" => Criticality.Low,
                _ => null,
            })
            : null;

    private static PortFails? ReadPortTrouble(Match match, ScriptNames names) =>
        names.Port(match) is { } port
            ? new PortFails(port, match.Groups["trouble"].Value switch
            {
                "fault" => PortTrouble.Fault,
                "short" => PortTrouble.Short,
                "signature" => PortTrouble.InvalidSignature,
                "off" => PortTrouble.SwitchedOff,
                _ => PortTrouble.None,
            })
            : null;

    private static AgentsReachable? ReadAgentsReachable(Match match, ScriptNames names) =>
        names.Each(match, names.IsAgent) is { } known ? new AgentsReachable(known, match.Groups["on"].Success) : null;

    private static AgentRestarts? ReadAgentRestarts(Match match, ScriptNames names) =>
        names.IsAgent(match.Groups["id"].Value) ? new AgentRestarts(match.Groups["id"].Value) : null;

    private static LoadCaseForced? ReadLoadCase(Match match, ScriptNames names) =>
        names.LoadCase(match) is { } id ? new LoadCaseForced(id, match.Groups["on"].Success) : null;

    private static AirTemperature? ReadAir(Match match, ScriptNames names)
    {
        if (!match.Groups["celsius"].Success)
        {
            return new AirTemperature(null);
        }

        var celsius = Number(match, "celsius");
        if (celsius is >= -90 and <= 60)
        {
            return new AirTemperature(Temperature.FromCelsius(celsius));
        }

        names.Problem(match.Value, "No air is that cold or hot.", "Write -90 to 60 C.");
        return null;
    }

    private static SupplyPresent? ReadSupply(Match match, ScriptNames names) =>
        names.Supply(match) is { } supply
            ? new SupplyPresent(supply.PseId, supply.Group, supply.SupplyId, match.Groups["on"].Success)
            : null;

    [GeneratedRegex(@"^at\s+(?<time>\d{1,9}(\.\d{1,9})?)\s*(?<unit>s|m|h|d)\s+")]
    private static partial Regex Moment();

    [GeneratedRegex(@"^device\s+(?<id>\S+)\s+draws\s+((?<watts>\d{1,4}(\.\d{1,9})?)\s*W|as\s+usual)$")]
    private static partial Regex DeviceDraws();

    [GeneratedRegex(@"^device\s+(?<id>\S+)\s+creeps\s+(?<watts>\d{1,5}(\.\d{1,9})?)\s*W/h$")]
    private static partial Regex DeviceCreeps();

    [GeneratedRegex(@"^element\s+(?<id>\S+)\s+(unplugged|(?<in>plugged\s+in))$")]
    private static partial Regex ElementPlugged();

    [GeneratedRegex(@"^port\s+(?<port>\S+)\s+carries\s+((?<watts>\d{1,4}(\.\d{1,9})?)\s*W\s+class\s+(?<class>[0-8])|nothing)$")]
    private static partial Regex PortCarries();

    [GeneratedRegex(@"^port\s+(?<port>\S+)\s+grants\s+(class\s+(?<class>[0-8])|as\s+designed)$")]
    private static partial Regex PortGrants();

    [GeneratedRegex(@"^port\s+(?<port>\S+)\s+priority\s+((?<priority>critical|high|low)|as\s+designed)$")]
    private static partial Regex PortPriorities();

    [GeneratedRegex(@"^port\s+(?<port>\S+)\s+trouble\s+(?<trouble>fault|short|signature|off|none)$")]
    private static partial Regex PortTroubles();

    [GeneratedRegex(@"^agents?\s+(?<ids>\S+(\s*,\s*\S+)*)\s+(silent|(?<on>answering))$")]
    private static partial Regex AgentsReachable();

    [GeneratedRegex(@"^agent\s+(?<id>\S+)\s+restarts$")]
    private static partial Regex AgentRestarts();

    [GeneratedRegex(@"^load-case\s+(?<id>\S+)\s+((?<on>begins)|ends)$")]
    private static partial Regex LoadCases();

    [GeneratedRegex(@"^air\s+((?<celsius>-?\d{1,3}(\.\d{1,9})?)\s*C|by\s+season)$")]
    private static partial Regex Air();

    [GeneratedRegex(@"^supply\s+(?<pse>\S+):(?<group>\d{1,9})\s+(?<id>\S+)\s+(lost|(?<on>back))$")]
    private static partial Regex Supplies();
}
