using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Rollups;

/// <summary>A place that draws are asked of: a port, or the sum of a switch, a pole or the site.</summary>
/// <param name="Subject">Whose packets it stands in.</param>
/// <param name="Group">Group of a port; 0 for a sum.</param>
/// <param name="Port">Number of a port; 0 for a sum.</param>
public readonly record struct DrawPlace(RollupSubject Subject, int Group, int Port)
{
    public static DrawPlace Site { get; } = new(RollupSubject.Site, 0, 0);

    /// <summary>The port; meaningful for ports only.</summary>
    public PsePortRef Ref => new(Subject.Name, Group, Port);

    public static DrawPlace OfPort(PsePortRef port) => new(new RollupSubject(RollupKind.Ports, port.PseId), port.Group, port.Port);

    public static DrawPlace OfSwitch(string pseId) => new(new RollupSubject(RollupKind.Switch, pseId), 0, 0);

    public static DrawPlace OfPole(string poleId) => new(new RollupSubject(RollupKind.Pole, poleId), 0, 0);
}
