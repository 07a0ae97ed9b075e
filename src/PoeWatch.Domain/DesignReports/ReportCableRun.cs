using System.Collections.Immutable;

namespace PoeWatch.Domain.DesignReports;

/// <summary>One run: its chain in the load case that leaves least at the far end, in both operating modes.</summary>
/// <param name="PoleNames">Names of the poles that it serves, nearest first.</param>
/// <param name="WorstLoadCaseId">The load case that leaves least at the far end by what the standard guarantees; the chain is shown in it.</param>
/// <param name="Places">Elements, parents first.</param>
/// <param name="FarEndElementId">Where one more device would hang.</param>
public sealed record ReportCableRun(
    string CableRunId,
    ImmutableArray<string> PoleNames,
    ReportSource Source,
    string WorstLoadCaseId,
    string WorstLoadCaseName,
    ImmutableArray<ReportPlace> Places,
    string FarEndElementId,
    RunFigures Expected,
    RunFigures Guaranteed,
    ImmutableArray<ReportRunCase> LoadCases);

/// <summary>What feeds a run.</summary>
/// <param name="Kind">switch-port or injector.</param>
/// <param name="LimitW">The most that it gives, at the PSE.</param>
/// <param name="PoeType">Type 1 to Type 4, or "outside the standard".</param>
/// <param name="GrantableClass">Highest class that it grants; null where none is known.</param>
/// <param name="ExpectedV">Nominal voltage.</param>
/// <param name="GuaranteedV">Lowest voltage that the standard allows its type, or the nominal one where that is lower.</param>
public sealed record ReportSource(
    string Kind, string ElementId, string Name, double LimitW, string PoeType, string? GrantableClass, double ExpectedV, double GuaranteedV, bool IsUnmetered);

/// <summary>One element of a run with the segment that feeds it.</summary>
/// <param name="Kind">device, extender or pass-through-switch.</param>
/// <param name="FedBy">The element that feeds it; null at the first one, which the source feeds.</param>
/// <param name="DepthNumber">0 at the first element.</param>
/// <param name="TypeName">Name of the device's type; null where it is no device.</param>
/// <param name="RequestedClass">Class that the device asks for; null where it is no device.</param>
/// <param name="OwnDrawW">What an extender or pass-through switch needs itself; 0 at a device.</param>
/// <param name="OutputV">Regulated output; null where none.</param>
/// <param name="Expected">Null where the run cannot be fed.</param>
/// <param name="Guaranteed">Null where the run cannot be fed.</param>
public sealed record ReportPlace(
    string ElementId,
    string Name,
    string Kind,
    string? PoleName,
    string? FedBy,
    int DepthNumber,
    string? TypeName,
    string? RequestedClass,
    double OwnDrawW,
    double? EfficiencyPercent,
    double? OutputV,
    ReportSegment Segment,
    PlaceFigures? Expected,
    PlaceFigures? Guaranteed);

/// <summary>A stretch of cable as designed.</summary>
/// <param name="From">Feeding output.</param>
/// <param name="CordsM">Patch cords, on top of the length.</param>
/// <param name="BundledCount">Powered cables of its bundle, itself counted; 0 where none is said.</param>
/// <param name="Material">copper or copper-clad-aluminium.</param>
/// <param name="MeasuredLoopOhm">As a tester printed it for one pair, there and back.</param>
/// <param name="ConductorCelsius">Conductor temperature of the design, before the bundle warms it.</param>
/// <param name="ExpectedLoopOhm">Over all powered pairs, cords, contacts and warmth of the bundle included.</param>
/// <param name="GuaranteedLoopOhm">The larger of that and the worst channel of the standard.</param>
public sealed record ReportSegment(
    string SegmentId,
    string From,
    double LengthM,
    double CordsM,
    int BundledCount,
    int GaugeAwg,
    int PairCount,
    string? Category,
    string Material,
    double? MeasuredLoopOhm,
    double ConductorCelsius,
    double ExpectedLoopOhm,
    double GuaranteedLoopOhm);

/// <summary>Electrical state at the input of one element.</summary>
/// <param name="FeedV">At the feeding end of its segment.</param>
/// <param name="InputV">At its input.</param>
/// <param name="InputA">Over all pairs together.</param>
/// <param name="InputW">With all that hangs below it.</param>
/// <param name="SegmentLossW">Heat in the segment that feeds it.</param>
/// <param name="ConversionLossW">Heat in its converter; 0 where it converts nothing.</param>
public sealed record PlaceFigures(double FeedV, double InputV, double InputA, double InputW, double SegmentLossW, double ConversionLossW);

/// <summary>A run in one operating mode, in its worst load case.</summary>
/// <param name="Reason">Why it cannot be fed; empty where it can.</param>
/// <param name="Balance">Null where it cannot be fed.</param>
/// <param name="FarEndExtraW">The largest further load at the far end; negative where the demands are too much already.</param>
/// <param name="Limits">The binding one first, then by what share of it is taken.</param>
public sealed record RunFigures(
    bool IsFed, string Reason, EnergyBalance? Balance, double FarEndExtraW, ReportLimit Binding, ImmutableArray<ReportLimit> Limits);

/// <summary>Where the watts of the source go: the source gives the sum of the other four.</summary>
public sealed record EnergyBalance(double SourceW, double DevicesW, double OwnDrawsW, double ConversionLossW, double CableLossW);

/// <summary>One limit with its numbers.</summary>
/// <param name="Key">Names the same limit in both operating modes.</param>
/// <param name="Kind">Such as pse-port, pd-voltage, segment-length.</param>
/// <param name="Unit">W, V, A, m, ohm, °C or outputs: of the three numbers.</param>
/// <param name="Margin">What is left; negative where it is broken.</param>
/// <param name="TakenPercent">Share of the limit that is taken: over 100 where it is broken.</param>
/// <param name="IsAdvice">True where breaking it warns but proves no failure.</param>
/// <param name="Source">Where the limit comes from.</param>
public sealed record ReportLimit(
    string Key,
    string Kind,
    string ElementId,
    double LimitValue,
    double Value,
    double Margin,
    string Unit,
    double TakenPercent,
    bool IsBroken,
    bool IsAdvice,
    string Sentence,
    string Source);

/// <summary>A run in one load case.</summary>
/// <param name="DemandAtPdW">Of its devices together.</param>
public sealed record ReportRunCase(string LoadCaseId, string Name, double DemandAtPdW, CaseFigures Expected, CaseFigures Guaranteed);

/// <summary>A run in one load case and operating mode.</summary>
/// <param name="DemandAtPseW">Null where it cannot be fed.</param>
/// <param name="CableLossW">Null where it cannot be fed.</param>
/// <param name="FarEndExtraW">The largest further load at the far end.</param>
/// <param name="BindingSentence">The limit that one more watt would break first.</param>
/// <param name="BrokenCount">Limits that are broken.</param>
public sealed record CaseFigures(double? DemandAtPseW, double? CableLossW, double FarEndExtraW, string BindingSentence, int BrokenCount);
