using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Alarms.Figures;

namespace PoeWatch.Api.Contracts;

/// <summary>A stretch in which more alarms came than one person can take in.</summary>
public sealed record AlarmFloodContract(DateTimeOffset From, DateTimeOffset To, int AlarmCount, int PeakIn10MinutesCount);

/// <summary>How often one alarm came.</summary>
/// <param name="Id">Resource and type joined with <c>~</c>.</param>
public sealed record AlarmFrequencyContract(string Id, int RaisedCount, double SharePercent);

/// <summary>One measure against what the trade aims at.</summary>
/// <param name="Target">In words.</param>
/// <param name="Source">Where the target comes from.</param>
public sealed record AlarmMeasureContract(string Measure, double Value, string Unit, string Target, bool IsMet, string Source);

/// <summary>The service's own alarms over a period, in the measures of ISA-18.2 and EEMUA 191. Only alarms that were to call somebody count.</summary>
public sealed record AlarmFiguresContract(
    DateTimeOffset From,
    DateTimeOffset To,
    int OperatorCount,
    int RaisedCount,
    IReadOnlyList<AlarmMeasureContract> Measures,
    IReadOnlyDictionary<string, int> BySeverity,
    IReadOnlyList<AlarmFloodContract> Floods,
    IReadOnlyList<string> StandingIds,
    IReadOnlyList<string> ChatteringIds,
    IReadOnlyList<string> FleetingIds,
    IReadOnlyList<AlarmFrequencyContract> Top)
{
    private const string Isa = "ISA-18.2, as automation vendors' guides quote it";
    private const string Memory = "ISA-18.2, from memory";

    internal static AlarmFiguresContract Of(AlarmFigures figures) => new(
        figures.From,
        figures.To,
        figures.Operators,
        figures.Raised,
        Measured(figures),
        figures.BySeverity.ToDictionary(s => Names.Of(s.Key), s => s.Value),
        [.. figures.Floods.Select(f => new AlarmFloodContract(f.From, f.To, f.Alarms, f.PeakIn10Minutes))],
        Ids(figures.Standing),
        Ids(figures.Chattering),
        Ids(figures.Fleeting),
        [.. figures.Top.Select(t => new AlarmFrequencyContract(AlarmContract.IdOf(t.Key), t.Raised, Percent(t.Share)))]);

    private static List<AlarmMeasureContract> Measured(AlarmFigures figures) =>
    [
        Measure("per operator and day", Math.Round(figures.PerOperatorAndDay, 1), "alarms", figures.PerOperatorAndDay <= 150, "at most about 150", Isa),
        Measure("per operator and 10 minutes", Math.Round(figures.PerOperatorAndDay / 144, 2), "alarms", figures.PerOperatorAndDay / 144 < 1, "under 1", "EEMUA 191, as a trade journal quotes it"),
        Measure("peak in 10 minutes", figures.PeakIn10Minutes, "alarms", figures.PeakIn10Minutes <= 10, "at most 10", Isa),
        Measure("time in flood", Percent(figures.FloodShare), "%", figures.FloodShare < 0.01, "under about 1 %", Isa),
        Measure("standing over 24 h", figures.Standing.Length, "alarms", figures.Standing.Length < 5, "none; under 5", Memory),
        Measure("chattering", figures.Chattering.Length, "alarms", figures.Chattering.IsEmpty, "none", Isa),
        Measure("fleeting", figures.Fleeting.Length, "alarms", figures.Fleeting.IsEmpty, "none", Isa),
        Measure("share of the ten most frequent", Percent(figures.TopShare), "%", figures.TopShare <= 0.05, "1 % to 5 %; says little of a site with few alarms", Memory),
    ];

    private static AlarmMeasureContract Measure(string name, double value, string unit, bool isMet, string target, string source) =>
        new(name, value, unit, target, isMet, source);

    private static double Percent(double share) => Math.Round(share * 100, 2);

    private static List<string> Ids(IEnumerable<AlarmKey> keys) => [.. keys.Select(AlarmContract.IdOf)];
}
