using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.EnergyBalance;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Assessment;

/// <summary>How live compares with meant, in one word of ours per level; the order is the order of urgency.</summary>
public enum HeadroomGrade
{
    /// <summary>Nothing measures here, so nothing can be held against the design.</summary>
    Unmetered = 0,

    /// <summary>Within the design with headroom above both floors.</summary>
    Ample = 1,

    /// <summary>Only ceilings are known; they leave enough.</summary>
    Bounded = 2,

    /// <summary>The reading is missing or too old: nothing is known.</summary>
    Unknown = 3,

    /// <summary>Headroom under the early floor.</summary>
    Slim = 4,

    /// <summary>Headroom under the late floor.</summary>
    Spent = 5,

    /// <summary>A limit is broken or the load cannot be fed.</summary>
    Over = 6,
}

/// <summary>A number of watts with how it is known.</summary>
/// <param name="Watts">Null exactly where the provenance is unknown.</param>
public readonly record struct KnownPower(Power? Watts, Provenance Provenance)
{
    public static KnownPower Nothing => new(null, Provenance.Unknown);

    /// <summary>Sum that keeps its honesty: an unknown part makes it unknown, a ceiling makes it a ceiling.</summary>
    public static KnownPower operator +(KnownPower a, KnownPower b)
    {
        var provenance = ProvenanceRules.Sum(a.Provenance, b.Provenance);
        return provenance == Provenance.Unknown || a.Watts is null || b.Watts is null
            ? Nothing
            : new KnownPower(a.Watts.Value + b.Watts.Value, provenance);
    }
}

/// <summary>One PSE port held against the design.</summary>
/// <param name="Draw">What the port reports, with provenance.</param>
/// <param name="Limit">Designed limit of the port at the PSE.</param>
/// <param name="DesignDemand">What the design says for the load cases that can be in force now, at the PSE; null where nothing is designed.</param>
/// <param name="DrawHeadroom">Limit minus draw (or minus the ceiling: then it is "at least"); null where unknown.</param>
/// <param name="CableRunId">The run that the port meters; null where none.</param>
/// <param name="IsUnexpected">True where a port delivers and the design has nothing there.</param>
/// <param name="IsDark">True where the design expects a PD and the port delivers to none.</param>
/// <param name="DataSideInjectorId">Set where an injector stands behind the port, which then rightly shows no PD.</param>
/// <param name="At">Time of the reading; null where there is none.</param>
public sealed record PortAssessment(
    PsePortRef Port,
    PortState State,
    KnownPower Draw,
    Power? Limit,
    Power? DesignDemand,
    Power? DrawHeadroom,
    string? CableRunId,
    bool IsUnexpected,
    bool IsDark,
    string? DataSideInjectorId,
    DateTimeOffset? At,
    HeadroomGrade Grade)
{
    /// <summary>Class that the PSE reports; null where it does not deliver or nothing is known.</summary>
    public PoeClass? AssignedClass { get; init; }

    /// <summary>Element that the design puts behind the port; null where none.</summary>
    public string? Feeds { get; init; }

    /// <summary>True where a schedule of the design says off now.</summary>
    public bool IsOffBySchedule { get; init; }

    /// <summary>True where a schedule had it off until some minutes ago: its switch may not have followed yet.</summary>
    public bool WasOffBySchedule { get; init; }
}

/// <summary>One PSE group held against its budget.</summary>
/// <param name="Draw">Draw of the group as its agent reports it, or the sum of its ports.</param>
/// <param name="Budget">The lower of the designed and the reported budget.</param>
/// <param name="DesignDemand">Of the load cases that can be in force now the one that asks most of the whole group, at the PSE.</param>
/// <param name="DrawHeadroom">Budget less guard band minus draw (or minus the ceiling: then it is "at least"); null where unknown.</param>
public sealed record GroupAssessment(
    string PseId, int Group, KnownPower Draw, Power Budget, Power DesignDemand, Power? DrawHeadroom, HeadroomGrade Grade)
{
    /// <summary>Allocation, limits and shedding; null at a pass-through switch, which only has a total.</summary>
    public GroupAccount? Account { get; init; }

    /// <summary>Budget by the design.</summary>
    public Power Designed { get; init; }

    /// <summary>Budget as the agent reports it; null where it does not.</summary>
    public Power? Reported { get; init; }

    /// <summary>False where the agent says that the group's power is off or faulty; null where it does not say.</summary>
    public bool? IsOn { get; init; }
}

/// <summary>One run held against the design.</summary>
/// <param name="DrawAtPse">Live watts at the PSE; unknown where unmetered.</param>
/// <param name="DesignDemandNow">At the PSE, for the worst load case that can be in force now.</param>
/// <param name="DesignDemandWorst">At the PSE, in <paramref name="WorstLoadCaseId"/>; null where it cannot be fed.</param>
/// <param name="WorstLoadCaseId">Of the load cases that can still come (this month or the next) the one that leaves least.</param>
/// <param name="Headroom">
/// Largest further load at the far end in the worst load case that can still come, with what the live draw exceeds the design by already on top.
/// </param>
/// <param name="IsAtLeast">True where only a ceiling or the design is known: people then see "at least X W left".</param>
/// <param name="IsUnmetered">True where nobody measures the run.</param>
/// <param name="Excess">What the live draw exceeds the design demand of now by; zero where it does not.</param>
public sealed record RunAssessment(
    string CableRunId,
    ImmutableArray<string> PoleIds,
    KnownPower DrawAtPse,
    Power? DesignDemandNow,
    Power? DesignDemandWorst,
    string WorstLoadCaseId,
    ExtraWatts Headroom,
    bool IsAtLeast,
    bool IsUnmetered,
    Power Excess,
    HeadroomGrade Grade)
{
    /// <summary>The same for the load cases that can still come before the site's day is over; null where it was not worked out.</summary>
    public WorstOfRun? WorstToday { get; init; }
}

/// <summary>The load case that leaves least on a run among some.</summary>
/// <param name="DesignDemand">At the PSE, by the design alone; null where it cannot be fed.</param>
/// <param name="Headroom">Largest further load at the far end, with what the live draw exceeds the design by already on top.</param>
public sealed record WorstOfRun(string LoadCaseId, Power? DesignDemand, ExtraWatts Headroom);

/// <summary>One pole: its runs and the smallest headroom of them. Runs are not summed for headroom.</summary>
/// <param name="DrawAtPse">Sum of the draws of its runs at the PSE; unknown where one of them is.</param>
/// <param name="IsShared">True where a run of this pole also serves another pole, so that its draw is not this pole's alone.</param>
/// <param name="Smallest">The run that leaves least; null where the pole has no run.</param>
/// <param name="At">Oldest reading that the draw rests on; null where there is none.</param>
public sealed record PoleAssessment(
    string PoleId,
    KnownPower DrawAtPse,
    Power? DesignDemandNow,
    bool IsShared,
    bool HasUnmetered,
    RunAssessment? Smallest,
    DateTimeOffset? At,
    HeadroomGrade Grade);

/// <summary>State of one polled element.</summary>
/// <param name="Outcome">How its last poll ended; Unknown before the first.</param>
/// <param name="LastAnswerAt">Last time its agent answered with ports; null where never.</param>
/// <param name="SilentBecauseOf">
/// Set where it is silent for a cause further up: the id of the farthest silent element on its way, or the PSE port that should feed it and does not.
/// </param>
public sealed record AgentAssessment(string PseId, PollOutcome Outcome, string Detail, DateTimeOffset? LastAnswerAt, string? SilentBecauseOf)
{
    /// <summary>The next element on its way to the rest of the network; null where the design names none.</summary>
    public string? Upstream { get; init; }

    /// <summary>How long its agent has been up, as of its newest answer; null where nothing is known.</summary>
    public TimeSpan? UpTime { get; init; }

    /// <summary>How long its newest poll took; null where nothing is known.</summary>
    public TimeSpan? Took { get; init; }

    /// <summary>What is odd about its newest answer: units that conflict, a wrong device, a wrong VLAN.</summary>
    public ImmutableArray<ReadingFinding> Findings { get; init; } = [];
}

/// <summary>The whole site at one moment. Immutable.</summary>
public sealed record SiteAssessment(
    DateTimeOffset At,
    string DesignHash,
    FrozenDictionary<PsePortRef, PortAssessment> Ports,
    ImmutableArray<GroupAssessment> Groups,
    FrozenDictionary<string, RunAssessment> CableRuns,
    FrozenDictionary<string, PoleAssessment> Poles,
    FrozenDictionary<string, AgentAssessment> Agents)
{
    /// <summary>What was known of the conditions; null where nobody looked.</summary>
    public SiteConditions? Conditions { get; init; }

    /// <summary>Which load cases may be in force, can still come today and this season; null where nobody looked.</summary>
    public LoadCaseOutlook? Outlook { get; init; }

    /// <summary>What the design asks for now, at worst today and at worst this season, thing by thing; null where nobody looked.</summary>
    public DemandOutlook? Demands { get; init; }

    /// <summary>What segments that are metered at both ends tell of their copper; empty where there are none or nobody looked.</summary>
    public ImmutableArray<SegmentBalance> Segments { get; init; } = [];

    /// <summary>Batteries in the order of their ids.</summary>
    public ImmutableArray<UpsAssessment> UpsUnits { get; init; } = [];
}

/// <summary>What an assessment starts from: the newest finished reading of each polled element, by id. Immutable.</summary>
/// <param name="LatestAnswer">Newest reading that carried ports, even where a later poll found the agent silent.</param>
/// <param name="Latest">Newest reading of any outcome.</param>
public sealed record NetworkSnapshot(
    DateTimeOffset At, FrozenDictionary<string, SwitchReading> Latest, FrozenDictionary<string, SwitchReading> LatestAnswer);
