using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Assessment;

/// <summary>PSE ports against their design.</summary>
internal static class PortAssessor
{
    public static PortAssessment Assess(AssessmentScope scope, PsePortRef port)
    {
        var reading = scope.Port(port);
        var design = scope.Analysis.Ports.GetValueOrDefault(port);
        var state = reading?.State ?? PortState.Unknown;
        var draw = scope.DrawAtPse(port);
        var headroom = design is not null && draw.Watts is { } watts ? design.Limit - watts : (Power?)null;
        return new PortAssessment(
            port,
            state,
            draw,
            design?.Limit,
            design?.Demand(scope.InForce),
            headroom,
            design?.CableRunId,
            IsUnexpected: state == PortState.Delivering && design?.Feeds is null,
            IsDark: design?.Feeds is not null && IsUnfed(state) && !scope.OffBySchedule.Contains(port),
            design?.DataSideInjectorId,
            scope.LastAnswerAt(port.PseId),
            Grade(scope.Design.Headroom.AtPort, design, draw, headroom))
        {
            AssignedClass = reading?.AssignedClass,
            Feeds = design?.Feeds,
            IsOffBySchedule = scope.OffBySchedule.Contains(port),
            WasOffBySchedule = scope.WasOffBySchedule(port),
        };
    }

    private static bool IsUnfed(PortState state) => state is not (PortState.Delivering or PortState.Unknown);

    private static HeadroomGrade Grade(HeadroomLevels levels, PortDesign? design, KnownPower draw, Power? headroom)
    {
        if (draw.Provenance == Provenance.Unknown)
        {
            return HeadroomGrade.Unknown;
        }

        if (design?.DataSideInjectorId is not null)
        {
            return HeadroomGrade.Unmetered;
        }

        if (design is null || headroom is not { } left)
        {
            return HeadroomGrade.Ample;
        }

        return draw.Provenance.IsDraw() ? Grading.Of(left, design.Limit, levels, HeadroomGrade.Ample) : HeadroomGrade.Bounded;
    }
}
