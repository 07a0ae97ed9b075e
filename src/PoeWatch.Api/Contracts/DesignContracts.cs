using PoeWatch.Domain.Design;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Contracts;

/// <summary>One thing wrong with a design: where, what is written, what is wrong, what to do.</summary>
/// <param name="Kind">error or warning.</param>
public sealed record DesignProblemContract(
    string Kind, string Code, string File, int Line, int Column, string Element, string Value, string Message, string Remedy)
{
    internal static DesignProblemContract From(DesignProblem problem) => new(
        Names.Kebab(problem.Kind.ToString()), problem.Code, problem.At.File, problem.At.Line, problem.At.Column, problem.Element, problem.Value,
        problem.Message, problem.Remedy);
}

/// <summary>The design in force.</summary>
/// <param name="Hash">SHA-256 of its text.</param>
/// <param name="Warnings">What stands as long as its cause does.</param>
public sealed record DesignContract(
    string Hash, string SiteName, int SwitchCount, int PoleCount, int CableRunCount, int DeviceCount, IReadOnlyList<DesignProblemContract> Warnings)
{
    internal static DesignContract From(DesignModel design) => new(
        design.Hash, design.Site.Name, design.Switches.Count, design.Poles.Count, design.CableRuns.Count, design.Devices.Count,
        [.. design.Warnings.Select(DesignProblemContract.From)]);
}

/// <summary>A design was applied.</summary>
public sealed record DesignAppliedContract(string Hash, IReadOnlyList<DesignProblemContract> Warnings);

/// <summary>One version of the design with its time in force.</summary>
/// <param name="Text">As written.</param>
public sealed record DesignVersionContract(string Hash, DateTimeOffset InForceFrom, DateTimeOffset? InForceUntil, string AppliedBy, string Text);

/// <summary>One version without its text.</summary>
public sealed record DesignVersionSummary(string Hash, DateTimeOffset InForceFrom, DateTimeOffset? InForceUntil, string AppliedBy, int CharacterCount)
{
    internal static DesignVersionSummary From(DesignVersion version, DesignVersion? next) =>
        new(version.Hash, version.InForceFrom, next?.InForceFrom, version.AppliedBy, version.Text.Length);
}
