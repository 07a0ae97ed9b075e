using System.Globalization;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Tests.Year;

/// <summary>
/// What faults are drawn from: chance by seed, the design, and who is busy when, so that every alarm can be told to belong to one fault. For one thread.
/// </summary>
internal sealed class YearPlan(int seed, int days, DesignModel design)
{
    // The first hours belong to the service: it has to have read every agent twice.
    private static readonly TimeSpan s_quietStart = TimeSpan.FromHours(2);

    // And what is told by comparison with the days before needs three whole ones.
    private static readonly TimeSpan s_known = TimeSpan.FromDays(4);
    private static readonly TimeSpan s_apart = TimeSpan.FromHours(3);
    private static readonly TimeSpan s_week = TimeSpan.FromDays(8);

    private readonly List<(string Place, TimeSpan From, TimeSpan To)> _taken = [];

    public Random Chance { get; } = new(seed);

    public DesignModel Design => design;

    public int Days => days;

    /// <summary>A time to the second for something that lasts so long, or null where the places are never free for it.</summary>
    /// <param name="places">What nothing else may touch meanwhile and for some hours around.</param>
    /// <param name="week">A port of which the days around have to be ordinary too, because its alarm is told by comparison with them.</param>
    public TimeSpan? Take(IReadOnlyCollection<string> places, TimeSpan lasts, PsePortRef? week = null)
    {
        var latest = TimeSpan.FromDays(days) - lasts - TimeSpan.FromHours(2);
        for (var tries = 0; tries < 200 && latest > (week is null ? s_quietStart : s_known); tries++)
        {
            var from = TimeSpan.FromSeconds(Math.Floor(Between((week is null ? s_quietStart : s_known).TotalSeconds, latest.TotalSeconds)));
            var wanted = places.Select(place => (Place: place, From: from - s_apart, To: from + lasts + s_apart)).ToList();
            if (week is { } port)
            {
                wanted.Add(($"{port} level", from - s_week, from + lasts + s_week));
            }

            if (!_taken.Exists(t => wanted.Exists(w => w.Place == t.Place && t.From < w.To && w.From < t.To)))
            {
                _taken.AddRange(wanted);
                return from;
            }
        }

        return null;
    }

    public double Between(double least, double most) => least + (Chance.NextDouble() * (most - least));

    public TimeSpan Hours(double least, double most) => TimeSpan.FromSeconds(Math.Floor(3600 * Between(least, most)));

    public T OneOf<T>(IReadOnlyList<T> all) => all[Chance.Next(all.Count)];

    /// <summary>What a fault of one port takes. A slow one, which lasts for weeks, lets the switch as a whole have its own faults meanwhile.</summary>
    public static string[] PlacesOf(PsePortRef port, bool isSlow = false) => isSlow ? [$"{port} slow", $"{port} level"] : [$"{port}", $"{port} slow", $"{port} level"];

    /// <summary>What a fault of whole switches takes: them, and whatever else happens at their ports.</summary>
    public string[] PlacesOf(IEnumerable<string> switches) => [.. switches.SelectMany(id => PortsOf(id).Select(port => $"{port}").Append(id))];

    /// <summary>Every port of a polled element.</summary>
    public IEnumerable<PsePortRef> PortsOf(string pseId) => design.Switches.TryGetValue(pseId, out var found)
        ? found.Groups.Values.SelectMany(group => Enumerable.Range(1, group.PortCount ?? 0).Select(port => new PsePortRef(pseId, group.Number, port)))
        : Enumerable.Range(1, design.PassThroughSwitches[pseId].OutputCount).Select(output => new PsePortRef(pseId, 1, output));

    public static string At(TimeSpan at, string what) => string.Create(CultureInfo.InvariantCulture, $"at {at.TotalSeconds:0}s {what}");

    public static string Number(double value) => value.ToString("0.00", CultureInfo.InvariantCulture);

    /// <summary>Ports that feed one device of a type straight over one cable and have no schedule, which would make faults come and go with it.</summary>
    public IReadOnlyList<(PsePortRef Port, PoweredDevice Device, CableRun Run)> Straight(params string[] types) =>
    [
        .. from run in design.CableRuns.Values
           let port = run.Source.Port ?? default
           where port != default && run.Root.Device is { } device && types.Contains(device.TypeId) && !design.Schedules.Any(schedule => schedule.Ports.Contains(port))
           orderby run.Id
           select (port, run.Root.Device!, run),
    ];
}
