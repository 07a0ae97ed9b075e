using System.Collections.Immutable;
using System.Text.Json;
using System.Text.Json.Serialization;

namespace PoeWatch.Evidence.Exports;

/// <summary>manifest.json: what the export is, and the SHA-256 of every other file. Its signature is manifest.sig.</summary>
/// <param name="Format">"poewatch-evidence/1".</param>
/// <param name="Asked">Period as it was asked for.</param>
/// <param name="Period">Period that the export covers: whole quarter-hours.</param>
/// <param name="TimeZone">IANA zone of the site; all times in the files are UTC.</param>
/// <param name="Clock">What the service saw of its clock's steps, for people.</param>
/// <param name="TreeSize">Leaves in the tree that all proofs lead to.</param>
/// <param name="TreeRoot">Its root.</param>
/// <param name="KeyId">SHA-256 of the public key of the signature; empty where there is none.</param>
internal sealed record ManifestDocument(
    string Format, string Software, string MadeAt, PeriodDocument Asked, PeriodDocument Period, string ScopeKind, string ScopeId, string Site, string TimeZone, string Clock,
    CountsDocument Counts, long TreeSize, string TreeRoot, string KeyId, ImmutableArray<FileDocument> Files);

/// <summary>[From, To) in UTC.</summary>
internal sealed record PeriodDocument(string From, string To);

/// <summary>What the export holds, in numbers.</summary>
internal sealed record CountsDocument(long Polls, long Rows, long UnsealedPolls, long Leaves, long DeletedPolls, long QuarterHours, long Gaps);

/// <summary>One file of the export.</summary>
internal sealed record FileDocument(string Name, long Bytes, string Sha256);

/// <summary>roots.json: the root that all inclusion proofs lead to, and every day's root with its proof that it is a beginning of that tree.</summary>
internal sealed record RootsDocument(string Format, long TreeSize, string TreeRoot, ImmutableArray<DayDocument> Days);

/// <summary>A day's root: the signed text, its signature, and the consistency proof to the tree of the export.</summary>
internal sealed record DayDocument(string Text, string KeyId, string Signature, ImmutableArray<string> Consistency);

/// <summary>One line of leaves.jsonl.</summary>
/// <param name="Proof">Inclusion proof to the root of the export.</param>
internal sealed record LeafDocument(
    long Index, string Kind, string PseId, string Start, ImmutableArray<PollDocument> Polls, string Hash, ImmutableArray<string> Proof);

/// <summary>A poll that a leaf covers.</summary>
/// <param name="Rows">All rows of the poll; 0 where it was deleted.</param>
/// <param name="Root">Root over its rows; empty where it was deleted.</param>
/// <param name="Hidden">Hashes for rows that are not in the export (see PrunedTree); empty where all are.</param>
/// <param name="IsDeleted">True where the history no longer holds the poll.</param>
internal sealed record PollDocument(string At, int Rows, string Root, ImmutableArray<string> Hidden, bool IsDeleted);

/// <summary>A day's root as a file of its own, as the service writes it.</summary>
internal sealed record RootFileDocument(string Format, string Text, string KeyId, string Signature);

/// <summary>How the JSON of an export is written and read: strictly.</summary>
internal static class EvidenceJson
{
    public const string ManifestFormat = "poewatch-evidence/1";
    public const string RootsFormat = "poewatch-roots/1";
    public const string RootFileFormat = "poewatch-root-file/1";

    public static readonly JsonSerializerOptions Lines = new()
    {
        PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
        UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
        RespectNullableAnnotations = true,
        RespectRequiredConstructorParameters = true,
    };

    public static readonly JsonSerializerOptions Pages = new(Lines) { WriteIndented = true, NewLine = "\n" };
}

/// <summary>Names of the files of an export.</summary>
internal static class EvidenceFiles
{
    public const string Manifest = "manifest.json";
    public const string Signature = "manifest.sig";
    public const string Roots = "roots.json";
    public const string Leaves = "leaves.jsonl";
    public const string Raw = "raw.csv";
    public const string RawParquet = "raw.parquet";
    public const string QuarterHours = "quarter-hours.csv";
    public const string QuarterHoursParquet = "quarter-hours.parquet";
    public const string Gaps = "gaps.csv";
    public const string Alarms = "alarms.csv";
    public const string Conditions = "conditions.csv";
    public const string Maintenance = "maintenance.csv";
    public const string AgentChanges = "agent-changes.csv";
    public const string Designs = "designs.csv";
    public const string DesignFolder = "designs";

    /// <summary>Tables that no leaf of the tree covers, in order of their names.</summary>
    public static readonly string[] SignedOnly = [AgentChanges, Alarms, Conditions, Gaps, Maintenance, QuarterHours];
}
