using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Api.Contracts;

/// <summary>The written names of the domain's words: lower case with hyphens, one rule for all. Pure.</summary>
internal static class Names
{
    public static string Of(HeadroomGrade grade) => Kebab(grade.ToString());

    public static string Of(PortState state) => Kebab(state.ToString());

    public static string Of(PollOutcome outcome) => Kebab(outcome.ToString());

    public static string Of(LimitKind kind) => Kebab(kind.ToString());

    public static string Of(AlarmSeverity severity) => Kebab(severity.ToString());

    public static string Of(OperatorState state) => Kebab(state.ToString());

    public static string Of(Criticality criticality) => Kebab(criticality.ToString());

    public static string Of(FlowNodeKind kind) => Kebab(kind.ToString());

    public static string Of(ConductorMaterial material) => Kebab(material.ToString());

    public static bool TryOperatorState(string? name, out OperatorState state)
    {
        foreach (var candidate in Enum.GetValues<OperatorState>())
        {
            if (Of(candidate) == name)
            {
                state = candidate;
                return true;
            }
        }

        state = default;
        return false;
    }

    public static bool TrySeverity(string? name, out AlarmSeverity severity)
    {
        foreach (var candidate in Enum.GetValues<AlarmSeverity>())
        {
            if (candidate != AlarmSeverity.Unknown && Of(candidate) == name)
            {
                severity = candidate;
                return true;
            }
        }

        severity = default;
        return false;
    }

    public static string Kebab(string pascal) => Domain.Quantities.Kebab.Of(pascal);
}
