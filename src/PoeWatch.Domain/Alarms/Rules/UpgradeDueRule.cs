using System.Globalization;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>The design counts on a better port that is still to come: a warning that stands until the design says it is there.</summary>
internal static class UpgradeDueRule
{
    private const string NextSteps =
        "1. Connect nothing that needs the new limit before it is there. 2. When the port is changed, enter its limit in the design and take the planned upgrade out.";

    public static IEnumerable<AlarmCondition> Evaluate(RuleInput input)
    {
        var today = DateOnly.FromDateTime(input.Site.At.UtcDateTime);
        foreach (var port in input.Design.Switches.Values.SelectMany(s => s.Ports.Values).Where(p => p.Upgrade is not null))
        {
            var upgrade = port.Upgrade!;
            var due = upgrade.Due is not { } day ? "no day is given"
                : string.Create(CultureInfo.InvariantCulture, $"{(day < today ? "was due by" : "due by")} {day:yyyy-MM-dd}");
            yield return AlarmCondition.Plain(
                new AlarmKey(AlarmResources.Port(port.Ref), AlarmTypes.DesignUpgradeDue),
                AlarmSeverity.Warning,
                $"Port {port.Ref} has a limit of {RuleInput.Watts(port.Limit)}; the design counts on {RuleInput.Watts(upgrade.Limit)} ({due}).",
                NextSteps);
        }
    }
}
