using System.CommandLine;
using System.Globalization;
using System.Text;
using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Design;

namespace PoeWatch.Server.Commands;

/// <summary>What a valid design needs, for a terminal: where its types come from, the worst load case of site and groups, cold starts.</summary>
internal static class DemandText
{
    public static Option<string?> TypesOption() =>
        new("--device-types") { Description = "Folder with the device types that the design names; the one beside the program by default." };

    public static string Of(DesignModel model)
    {
        var plan = DemandPlan.Of(model);
        var text = new StringBuilder();
        foreach (var type in model.DeviceTypes.Values.OrderBy(type => type.Id, StringComparer.Ordinal))
        {
            Line(text, $"Type {type.Id}: {type.WrittenIn}{(type.Source.Length > 0 ? $" ({type.Source})" : "")}.");
        }

        Line(text, $"Worst demand of the site: {Worst(plan.Site)}.");
        foreach (var group in plan.Groups)
        {
            var designed = model.Switches[group.PseId].Groups[group.Group];
            Line(text, $"Group {group.Demand.Id}: {Worst(group.Demand)}, {GroupLimits.Usable(designed)} may be drawn.");
            foreach (var start in group.ColdStarts)
            {
                Line(text, $"Group {group.Demand.Id} after an outage ({Named(model, start.Case)}): {Moment(start.Demand.WorstBoot)} while devices boot, {Moment(start.Demand.WorstInrush)} while inputs fill. {start.Stages.Sentence}");
            }
        }

        return text.ToString();
    }

    private static string Worst(PlaceDemand place) => $"{Rounded(place.Worst.Watts.Watts)} in load case '{place.Worst.Case.Id}'";

    private static string Moment(StartMoment moment) => string.Create(
        CultureInfo.InvariantCulture, $"{Rounded(moment.Watts.Watts)}{(moment.After > TimeSpan.Zero ? $" (after {moment.After.TotalSeconds:0.#} s)" : "")}");

    private static string Named(DesignModel model, LoadCase loadCase) =>
        $"{(model.LoadCases.Any(known => known.Id == loadCase.Id) ? "load case" : "the standard case, which the design does not name:")} '{loadCase.Id}'";

    private static string Rounded(double watts) => string.Create(CultureInfo.InvariantCulture, $"{watts:0.0} W");

    // A design can name anything; a terminal gets no control characters.
    private static void Line(StringBuilder text, string line) => text.Append(string.Concat(line.Select(c => char.IsControl(c) ? ' ' : c))).Append('\n');
}
