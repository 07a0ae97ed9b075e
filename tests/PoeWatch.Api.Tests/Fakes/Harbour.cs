using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Api.Tests.Fakes;

/// <summary>
/// A small Skerry Haven as the API sees it: one pole of every grade. The assessment is written by hand, so that these tests hold the API alone
/// and not the arithmetic behind it.
/// </summary>
internal static class Harbour
{
    public static readonly DateTimeOffset Now = new(2026, 11, 24, 21, 30, 0, TimeSpan.Zero);

    /// <summary>Pole, its name, its port, watts, how they are known, what is left, grade.</summary>
    public static readonly ImmutableArray<Mast> Masts =
    [
        new("quay-01", "Quay west, ferry berth", 1, 12.4, Provenance.Measured, 41.2, HeadroomGrade.Ample),
        new("quay-02", "Quay west, fuel dock", 2, 25.9, Provenance.Measured, 3.1, HeadroomGrade.Slim),
        new("quay-03", "Quay west, crane rail", 3, 30.0, Provenance.ClassBound, 17.5, HeadroomGrade.Bounded),
        new("quay-04", "Quay west, ice house", 4, 28.7, Provenance.Derived, 0.9, HeadroomGrade.Spent),
        new("quay-05", "Quay west, net loft", 5, 31.6, Provenance.Measured, -1.8, HeadroomGrade.Over),
        new("mole-01", "North mole, beacon", 6, null, Provenance.Unknown, 22.0, HeadroomGrade.Unknown),
        new("mole-02", "North mole, gate", 7, 0.0, Provenance.Off, 26.4, HeadroomGrade.Ample),
    ];

    public const string UnmeteredPole = "mole-03";

    public static DesignModel Design(string hash = "harbour-design")
    {
        var design = new DesignModelBuilder().Hash(hash)
            .Switch("quay-west").LoadCase("winter-night")
            .DeviceType("dome-camera", 21.3, PoeClass.Class4, ("winter-night", 25.0))
            .DeviceType("speaker", 9.5, PoeClass.Class3)
            .Pole("spare-01", "South steps, no cable yet");
        foreach (var mast in Masts)
        {
            design.Pole(mast.PoleId, mast.Name).Port(mast.PortRef, 30)
                .Device($"camera-{mast.PoleId}", "dome-camera", mast.PoleId).Cable(mast.PortRef, $"camera-{mast.PoleId}", 85);
        }

        return design
            .Pole(UnmeteredPole, "North mole, head")
            .Port("quay-west:1/9").Injector("injector-mole", "quay-west:1/9")
            .Extender("extender-mole", UnmeteredPole).Cable("injector-mole", "extender-mole", 96)
            .Device("camera-mole-03", "dome-camera", UnmeteredPole).Cable("extender-mole:1", "camera-mole-03", 8)
            .Device("speaker-mole-03", "speaker", UnmeteredPole).Cable("extender-mole:2", "speaker-mole-03", 12)
            .Build();
    }

    public static SiteView View(long version = 7, long keptSequence = 1, ImmutableArray<Alarm>? alarms = null, Func<Mast, Mast>? change = null)
    {
        var design = Design();
        var masts = Masts.Select(change ?? (mast => mast)).ToImmutableArray();
        var snapshot = new SnapshotBuilder(Now).Answered(
            "quay-west",
            TimeSpan.FromSeconds(20),
            [.. masts.Select(m => new PortReading(
                m.Port, m.Watts is > 0 ? PortState.Delivering : PortState.Searching, Watts(m.Watts), m.Provenance, PoeClass.Class4))]).Build();
        var runs = masts.Select(CableRun).Append(Unmetered()).ToFrozenDictionary(r => r.CableRunId, StringComparer.Ordinal);
        var assessment = new SiteAssessment(
            Now,
            design.Hash,
            masts.Select(PortOf).ToFrozenDictionary(p => p.Port),
            [new GroupAssessment(
                "quay-west", 1, new KnownPower(Power.FromWatts(128.6), Provenance.ClassBound), Power.FromWatts(720), Power.FromWatts(180),
                Power.FromWatts(591.4), HeadroomGrade.Bounded)],
            runs,
            masts.Select(m => PoleOf(m.PoleId, runs[m.PortRef], m.Grade)).Append(PoleOf(UnmeteredPole, runs["injector-mole"], HeadroomGrade.Unmetered))
                .ToFrozenDictionary(p => p.PoleId, StringComparer.Ordinal),
            new[] { new AgentAssessment("quay-west", PollOutcome.Answered, "", Now.AddSeconds(-20), null) }.ToFrozenDictionary(a => a.PseId, StringComparer.Ordinal));
        return new SiteView(version, design, snapshot, assessment, alarms ?? Alarms(), keptSequence);
    }

    public static ImmutableArray<Alarm> Alarms() =>
    [
        Alarm("pole/quay-05", "headroom-low", AlarmSeverity.Critical, false, 9),
        Alarm("pole/quay-04", "headroom-low", AlarmSeverity.Major, false, 41),
        Alarm("port/quay-west:1/2", "headroom-low", AlarmSeverity.Minor, false, 60 * 30),
        Alarm("pole/mole-02", "dark", AlarmSeverity.Warning, true, 200),
    ];

    private static Alarm Alarm(string resource, string type, AlarmSeverity severity, bool cleared, int minutesAgo) => new(
        new AlarmKey(resource, type), severity, cleared, Now.AddMinutes(-minutesAgo), Now.AddMinutes(-minutesAgo),
        $"{resource}: draw 31.6 W (measured) is over the port limit of 30 W.",
        "Look which device draws more than designed. PoE is not a life-safety supply.", OperatorState.None, "", "");

    private static PortAssessment PortOf(Mast m) => new(
        m.Port, m.Watts is > 0 ? PortState.Delivering : PortState.Searching, new KnownPower(Watts(m.Watts), m.Provenance), Power.FromWatts(30),
        Power.FromWatts(22.9), m.Watts is { } w ? Power.FromWatts(30 - w) : null, m.PortRef, false, m.Provenance == Provenance.Off, null,
        Now.AddSeconds(-20), m.Grade);

    private static RunAssessment CableRun(Mast m) => new(
        m.PortRef, [m.PoleId], new KnownPower(Watts(m.Watts), m.Provenance), Power.FromWatts(22.9), Power.FromWatts(27.1), "winter-night",
        new ExtraWatts($"camera-{m.PoleId}", Power.FromWatts(m.HeadroomWatts), Limit(m.PortRef, 30, 27.1)), m.Grade == HeadroomGrade.Bounded, false,
        Power.FromWatts(Math.Max(0, (m.Watts ?? 0) - 22.9)), m.Grade);

    private static RunAssessment Unmetered() => new(
        "injector-mole", [UnmeteredPole], KnownPower.Nothing, Power.FromWatts(38.2), Power.FromWatts(43.0), "winter-night",
        new ExtraWatts("extender-mole", Power.FromWatts(12.6), Limit("injector-mole", 95, 43)), true, true, Power.Zero, HeadroomGrade.Unmetered);

    private static LimitMargin Limit(string element, double limit, double value) => new(LimitKind.PsePort, element, limit, value, "W", "design")
    {
        IsBroken = value > limit,
        Sentence = $"The limit of {limit} W at {element} binds first: the worst load case takes {value} W of it.",
    };

    private static PoleAssessment PoleOf(string id, RunAssessment run, HeadroomGrade grade) => new(
        id, run.DrawAtPse, run.DesignDemandNow, false, run.IsUnmetered, run, run.IsUnmetered ? null : Now.AddSeconds(-20), grade);

    private static Power? Watts(double? watts) => watts is { } w ? Power.FromWatts(w) : null;
}

/// <summary>One pole of the small harbour.</summary>
internal sealed record Mast(
    string PoleId, string Name, int PortNumber, double? Watts, Provenance Provenance, double HeadroomWatts, HeadroomGrade Grade)
{
    public PsePortRef Port => new("quay-west", 1, PortNumber);

    public string PortRef => Port.ToString();
}
