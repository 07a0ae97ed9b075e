using System.Globalization;
using PoeWatch.Domain.Design.Config;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>Finds where a figure was written, for the problem that names it; where it is a default, the place of its element.</summary>
internal sealed class WrittenFigures(DesignParts parts)
{
    /// <summary>The limit of a port where it is written, else the feeding end of the cable that uses the port.</summary>
    public Written<string> PortLimit(PsePort port, string cableId)
    {
        var written = parts.Config.Switches.Where(s => s.Id?.Value == port.Ref.PseId)
            .SelectMany(s => s.Ports)
            .FirstOrDefault(p => p.Port is not null && PsePortRef.TryParse($"{port.Ref.PseId}:{p.Port.Value}", out var named) && named == port.Ref);
        return written?.LimitWatts ?? written?.Class ?? written?.Type ?? parts.WrittenCables[cableId].From!;
    }

    public Written<string> InjectorRating(string id) =>
        parts.Config.Injectors.First(i => i.Id?.Value == id).RatingWatts!;

    public Written<string> InputLimit(string id) => Of(id, e => e.InputLimitWatts, p => p.InputLimitWatts);

    public Written<string> OutputLimit(string id) => Of(id, e => e.OutputLimitWatts, p => p.OutputLimitWatts);

    public Written<string> Outputs(string id) => Of(id, e => e.Outputs, p => p.Outputs);

    public Written<string> TotalLimit(string id) => Of(id, _ => null, p => p.TotalLimitWatts);

    public Written<string> CableLength(string cableId) => parts.WrittenCables[cableId].LengthMeters!;

    /// <summary>The largest demand of a device type: what breaks a limit first.</summary>
    public Written<string> Demand(string typeId, string loadCaseId)
    {
        var written = parts.Config.DeviceTypes.First(t => t.Id?.Value == typeId);
        return written.Demands.FirstOrDefault(d => d.LoadCase.Value == loadCaseId)?.Watts ?? written.DemandWatts ?? written.Physical.TypicalWatts ?? written.Id!;
    }

    public Written<string> GroupBudget(string switchId, int group)
    {
        var groups = parts.Config.Switches.First(s => s.Id?.Value == switchId).Groups;
        return groups.First(g => g.Group is null ? group == 1 : double.Parse(g.Group.Value, CultureInfo.InvariantCulture) == group).BudgetWatts!;
    }

    private Written<string> Of(
        string id, Func<ExtenderConfig, Written<string>?> ofExtender, Func<PassThroughSwitchConfig, Written<string>?> ofPassThrough)
    {
        var extender = parts.Config.Extenders.FirstOrDefault(e => e.Id?.Value == id);
        var passThrough = parts.Config.PassThroughSwitches.FirstOrDefault(p => p.Id?.Value == id);
        return (extender is null ? ofPassThrough(passThrough!) : ofExtender(extender)) ?? extender?.Id ?? passThrough!.Id!;
    }
}
