using System.Globalization;
using PoeWatch.Api.Web;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Alarms.Maintenance;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Api.Contracts;

/// <summary>Where the chart of an alarm is: the draw of what it is about, around the time at which it was raised.</summary>
/// <param name="Subject">Whose draw it shows, such as <c>run quay-west:1/3</c>.</param>
/// <param name="HistoryPath">Address of the series, below <c>/api/v1/</c>.</param>
/// <param name="PageFragment">What to put behind the address of the dashboard to see it there.</param>
public sealed record AlarmChartContract(string Subject, string HistoryPath, string PageFragment)
{
    private static readonly TimeSpan s_day = TimeSpan.FromDays(1);

    internal static AlarmChartContract Of(Alarm alarm, DesignModel design)
    {
        var (subject, path) = Place(alarm.Key.Resource, design);
        var (before, after) = Around(alarm.Key.Type);
        var period = $"from={Time(alarm.RaisedAt - before)}&to={Time(alarm.RaisedAt + after)}";
        return new(subject, $"{path}{(path.Contains('?', StringComparison.Ordinal) ? '&' : '?')}{period}", "#alarm=" + Uri.EscapeDataString(AlarmContract.IdOf(alarm.Key)));
    }

    // What rests on days is seen only over days: as many as the rule looks at.
    private static (TimeSpan Before, TimeSpan After) Around(string type) => type switch
    {
        AlarmTypes.DrawCreep or AlarmTypes.HeadroomEnds or AlarmTypes.CableResistanceGrown => (s_day * 29, s_day),
        AlarmTypes.DrawStep => (s_day * 8, s_day),
        _ => (s_day, s_day),
    };

    private static (string Subject, string Path) Place(string resource, DesignModel design)
    {
        var slash = resource.IndexOf('/', StringComparison.Ordinal);
        var (kind, id) = slash < 0 ? (resource, "") : (resource[..slash], resource[(slash + 1)..]);
        return kind switch
        {
            "run" => ($"run {id}", $"run-history?run={Uri.EscapeDataString(id)}"),
            "pole" => ($"pole {id}", $"poles/{Uri.EscapeDataString(id)}/history"),
            "switch" => OfSwitch(id),
            "port" when PsePortRef.TryParse(id, out var port) =>
                ($"port {port}", string.Create(CultureInfo.InvariantCulture, $"ports/{Uri.EscapeDataString(port.PseId)}/{port.Group}/{port.Port}/history")),
            "group" when id.LastIndexOf(':') is > 0 and var colon => ($"group {id}", $"groups/{Uri.EscapeDataString(id[..colon])}/{id[(colon + 1)..]}/history"),
            // No history of temperatures or batteries is kept: what hangs on them is shown.
            "ups" when design.UpsUnits.GetValueOrDefault(id) is { SwitchIds: [var only] } => OfSwitch(only),
            "cabinet" when design.Conditions.Thermometers.FirstOrDefault(t => AlarmResources.Cabinet(t.Cabinet ?? "", t.Id) == resource) is { } thermometer => OfSwitch(thermometer.PseId),
            _ => (MaintenanceScope.WholeSite, "site/history"),
        };
    }

    private static (string Subject, string Path) OfSwitch(string pseId) => ($"switch {pseId}", $"switches/{Uri.EscapeDataString(pseId)}/history");

    private static string Time(DateTimeOffset at) => UtcTimeConverter.Write(at);
}
