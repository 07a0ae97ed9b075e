using System.Globalization;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>The PSE granted a class whose watts are less than the design needs there in the worst load case that can still come.</summary>
/// <remarks>
/// RFC 3621 names classes 0 to 4 only, so an agent may show class 4 for a port that grants more. Class 4 is taken at its word only where it is enough, or
/// where the PSE says what it set aside.
/// </remarks>
internal static class GrantTooSmallRule
{
    private const string NextSteps =
        "1. Read the port's limit and power mode in the switch and hold them against the design. 2. A device that was started before the limit was raised keeps "
        + "its small grant until the port is switched off and on. 3. See whether a surge protector or an injector between them hides the class. "
        + RuleInput.Caution;

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input)
    {
        foreach (var port in input.Site.Ports.Values.Where(p => p.State == PortState.Delivering && p.Feeds is not null))
        {
            if (Need(input, port) is not { } need || Granted(port) is not { } granted || granted >= need)
            {
                continue;
            }

            var text = string.Create(
                CultureInfo.InvariantCulture,
                $"Grant too small at {input.Place(port)}: the PSE granted class {(int)port.AssignedClass!.Value} ({RuleInput.Watts(granted)} at the PSE, IEEE 802.3 class table), the design needs {RuleInput.Watts(need)} for {port.Feeds}.");
            yield return AlarmCondition.Plain(new AlarmKey(AlarmResources.Port(port.Port), AlarmTypes.GrantTooSmall), AlarmSeverity.Major, text, NextSteps);
        }
    }

    /// <summary>True where the grant is told to be too small: a device that draws less for it has that one cause.</summary>
    internal static bool IsTooSmall(RuleInput input, PortAssessment port) =>
        port is { State: PortState.Delivering, Feeds: not null } && Need(input, port) is { } need && Granted(port) is { } granted && granted < need;

    /// <summary>What the design needs at the PSE: the worst load case, or the class that the device asks for where the port can grant it.</summary>
    private static Power? Need(RuleInput input, PortAssessment port)
    {
        if (port.CableRunId is not { } id || !input.Site.CableRuns.TryGetValue(id, out var run) || run.DesignDemandWorst is not { } demand)
        {
            return port.DesignDemand;
        }

        var root = input.Design.CableRuns[id].Root;
        if (root is not { Kind: FlowNodeKind.Device, DeviceType: { } type } || input.Design.Switches.GetValueOrDefault(port.Port.PseId) is not { } pse)
        {
            return demand;
        }

        var grantable = pse.Ports[port.Port].GrantableClass;
        return type.RequestedClass == PoeClass.Class0 || grantable == PoeClass.Class0
            ? demand
            : Power.Max(demand, Grant((PoeClass)Math.Min((int)type.RequestedClass, (int)grantable)));
    }

    private static Power? Granted(PortAssessment port)
    {
        if (port.AssignedClass is not { } assigned)
        {
            return null;
        }

        var setAside = port.Draw.Provenance == Provenance.Allocated ? port.Draw.Watts : null;
        return assigned == PoeClass.Class4 ? setAside : Grant(assigned);
    }

    private static Power Grant(PoeClass poeClass) => PoeTables.ClassBoundAtPse(poeClass);
}
