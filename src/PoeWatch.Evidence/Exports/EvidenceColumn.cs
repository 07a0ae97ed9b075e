using System.Globalization;
using PoeWatch.Domain.Evidence.Seals;

namespace PoeWatch.Evidence.Exports;

/// <summary>What a column holds; CSV and Parquet have the same columns.</summary>
internal enum ColumnKind
{
    Text = 0,
    Integer = 1,
    Number = 2,

    /// <summary>Microseconds since 1970 UTC; RFC 3339 in CSV, a timestamp in Parquet.</summary>
    Time = 3,
    Truth = 4,
}

/// <summary>A column of a table. Immutable.</summary>
internal sealed record EvidenceColumn(string Name, ColumnKind Kind)
{
    /// <summary>How CSV writes a value: nothing for null, invariant numbers, true and false.</summary>
    public string? Text(object? value) => value switch
    {
        null => null,
        string text => text,
        bool truth => truth ? "true" : "false",
        long time when Kind == ColumnKind.Time => EvidenceTime.Write(time),
        long number => number.ToString(CultureInfo.InvariantCulture),
        double number => number.ToString("0.######", CultureInfo.InvariantCulture),
        _ => throw new ArgumentException($"{Name} cannot hold a {value.GetType().Name}.", nameof(value)),
    };
}

/// <summary>The columns of the tables. docs/evidence-export.md has them one by one.</summary>
internal static class EvidenceColumns
{
    public static readonly EvidenceColumn[] Raw =
    [
        new("record", ColumnKind.Text), new("time_utc", ColumnKind.Time), new("pse_id", ColumnKind.Text), new("row_no", ColumnKind.Integer),
        new("group", ColumnKind.Integer), new("port", ColumnKind.Integer), new("port_ref", ColumnKind.Text), new("run_id", ColumnKind.Text),
        new("pole_ids", ColumnKind.Text), new("state", ColumnKind.Text), new("assigned_class", ColumnKind.Integer), new("priority", ColumnKind.Integer),
        new("draw_mw", ColumnKind.Integer), new("ceiling_mw", ColumnKind.Integer), new("provenance", ColumnKind.Text), new("quality", ColumnKind.Text),
        new("poll_outcome", ColumnKind.Text), new("detail", ColumnKind.Text), new("up_time_cs", ColumnKind.Integer), new("port_count", ColumnKind.Integer),
        new("group_count", ColumnKind.Integer), new("budget_mw", ColumnKind.Integer), new("is_on", ColumnKind.Truth), new("is_sealed", ColumnKind.Truth),
        new("row_sha256", ColumnKind.Text),
    ];

    public static readonly EvidenceColumn[] QuarterHours =
    [
        new("start_utc", ColumnKind.Time), new("end_utc", ColumnKind.Time), new("pse_id", ColumnKind.Text), new("group", ColumnKind.Integer),
        new("port", ColumnKind.Integer), new("port_ref", ColumnKind.Text), new("run_id", ColumnKind.Text), new("pole_ids", ColumnKind.Text),
        new("min_mw", ColumnKind.Integer), new("mean_mw", ColumnKind.Integer), new("max_mw", ColumnKind.Integer), new("p95_mw", ColumnKind.Integer), new("energy_wh", ColumnKind.Number),
        new("completeness_percent", ColumnKind.Number), new("provenance", ColumnKind.Text), new("quality", ColumnKind.Text), new("ceiling_mw", ColumnKind.Integer),
        new("ceiling_percent", ColumnKind.Number),
    ];

    public static readonly EvidenceColumn[] Gaps =
    [
        new("start_utc", ColumnKind.Time), new("end_utc", ColumnKind.Time), new("port_ref", ColumnKind.Text), new("run_id", ColumnKind.Text),
        new("pole_ids", ColumnKind.Text), new("reason", ColumnKind.Text),
    ];

    public static readonly EvidenceColumn[] Alarms =
    [
        new("time_utc", ColumnKind.Time), new("resource", ColumnKind.Text), new("type", ColumnKind.Text), new("kind", ColumnKind.Text),
        new("severity", ColumnKind.Text), new("who", ColumnKind.Text), new("text", ColumnKind.Text), new("quiet_because", ColumnKind.Text),
    ];

    public static readonly EvidenceColumn[] Maintenance =
    [
        new("id", ColumnKind.Text), new("scope", ColumnKind.Text), new("from_utc", ColumnKind.Time), new("to_utc", ColumnKind.Time), new("who", ColumnKind.Text),
        new("reason", ColumnKind.Text), new("added_utc", ColumnKind.Time), new("ended_utc", ColumnKind.Time), new("ended_by", ColumnKind.Text),
    ];

    public static readonly EvidenceColumn[] AgentChanges =
    [
        new("time_utc", ColumnKind.Time), new("pse_id", ColumnKind.Text), new("kind", ColumnKind.Text), new("text", ColumnKind.Text),
    ];

    public static readonly EvidenceColumn[] Conditions =
    [
        new("time_utc", ColumnKind.Time), new("topic", ColumnKind.Text), new("holds", ColumnKind.Truth), new("air_celsius", ColumnKind.Number),
        new("until_utc", ColumnKind.Time), new("who", ColumnKind.Text), new("text", ColumnKind.Text),
    ];

    public static readonly EvidenceColumn[] Designs =
    [
        new("hash", ColumnKind.Text), new("in_force_from_utc", ColumnKind.Time), new("in_force_until_utc", ColumnKind.Time), new("applied_by", ColumnKind.Text),
        new("is_readable", ColumnKind.Truth), new("file", ColumnKind.Text),
    ];
}
