using PoeWatch.Domain.Evidence;
using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Evidence.Exports;

/// <summary>Between a row of the evidence and its line in raw.csv. Pure.</summary>
internal static class RawRows
{
    private static readonly string[] Kinds = ["", "poll", "port", "group"];

    /// <summary>The values of the columns of <see cref="EvidenceColumns.Raw"/>.</summary>
    /// <param name="number">Place of the row in its poll, from 0.</param>
    public static object?[] Values(EvidenceRow row, int number, DesignTimeline designs, PollOutcome outcome, bool isSealed)
    {
        var port = new PsePortRef(row.PseId, row.Group, row.Port);
        var isPoll = row.Kind == EvidenceRowKind.Poll;
        var isPort = row.Kind == EvidenceRowKind.Port;
        var cableRun = isPort ? designs.CableRunOf(port, SealInterval.TimeOf(row.AtMicroseconds)) : null;
        var isDraw = row.Provenance.IsDraw();
        return
        [
            Kinds[(int)row.Kind], row.AtMicroseconds, row.PseId, (long)number,
            isPoll ? null : (long)row.Group, isPort ? (long)row.Port : null, isPort ? port.ToString() : null, cableRun?.Id,
            cableRun is null ? null : string.Join(' ', cableRun.PoleIds), isPort ? row.State.Name() : null, row.AssignedClass is { } known ? (long)known : null,
            isPort ? (long)row.Priority : null, isDraw ? row.Milliwatts : null, isDraw ? null : row.Milliwatts,
            isPoll ? null : row.Provenance.Name(), isPoll ? null : DrawQuality.Of(row.Provenance), outcome.Name(), isPoll ? row.Detail : null,
            row.UpTimeCentiseconds, isPoll ? (long)row.PortCount : null, isPoll ? (long)row.GroupCount : null, row.BudgetMilliwatts, row.IsOn, isSealed,
            CanonicalRow.HashOf(row).ToString(),
        ];
    }

    /// <summary>The row that a line tells of, by its columns; null with the reason where it tells of none.</summary>
    public static EvidenceRow? Read(IReadOnlyDictionary<string, string> cells, out string problem)
    {
        problem = string.Empty;
        try
        {
            var kind = (EvidenceRowKind)Math.Max(0, Array.IndexOf(Kinds, cells["record"]));
            var at = EvidenceTime.TryRead(cells["time_utc"], out var time) ? time : throw new FormatException($"'{cells["time_utc"]}' is no time");
            var row = new EvidenceRow(kind, CsvText.Unguarded(cells["pse_id"]), at);
            return kind switch
            {
                EvidenceRowKind.Poll => row with
                {
                    Outcome = Named<PollOutcome>(cells["poll_outcome"], OutcomeNames.Name),
                    Detail = CsvText.Unguarded(cells["detail"]),
                    UpTimeCentiseconds = Maybe(cells["up_time_cs"]),
                    PortCount = (int)Number(cells["port_count"]),
                    GroupCount = (int)Number(cells["group_count"]),
                },
                EvidenceRowKind.Port => Checked(row with
                {
                    Group = (int)Number(cells["group"]),
                    Port = (int)Number(cells["port"]),
                    State = Named<PortState>(cells["state"], OutcomeNames.Name),
                    Provenance = Named<Provenance>(cells["provenance"], ProvenanceRules.Name),
                    AssignedClass = (int?)Maybe(cells["assigned_class"]),
                    Priority = (int)Number(cells["priority"]),
                    Milliwatts = Watts(cells),
                }, cells),
                EvidenceRowKind.Group => Checked(row with
                {
                    Group = (int)Number(cells["group"]),
                    Provenance = Named<Provenance>(cells["provenance"], ProvenanceRules.Name),
                    Milliwatts = Watts(cells),
                    BudgetMilliwatts = Maybe(cells["budget_mw"]),
                    IsOn = cells["is_on"] switch { "" => null, "true" => true, "false" => false, var other => throw new FormatException($"'{other}' is neither true nor false") },
                }, cells),
                _ => throw new FormatException($"'{cells["record"]}' is no kind of row"),
            };
        }
        catch (Exception broken) when (broken is FormatException or OverflowException)
        {
            problem = broken.Message;
            return null;
        }
    }

    // A ceiling must not pass as a draw: the column, the word and the port's name are not in the hash, so they are held against what is.
    private static EvidenceRow Checked(EvidenceRow row, IReadOnlyDictionary<string, string> cells)
    {
        if ((row.Provenance.IsDraw() ? cells["ceiling_mw"] : cells["draw_mw"]).Length > 0)
        {
            throw new FormatException($"a number with provenance {row.Provenance.Name()} stands in the wrong one of draw_mw and ceiling_mw");
        }

        if (cells["quality"] != DrawQuality.Of(row.Provenance))
        {
            throw new FormatException($"the quality '{cells["quality"]}' does not fit the provenance {row.Provenance.Name()}");
        }

        return row.Kind == EvidenceRowKind.Port && CsvText.Unguarded(cells["port_ref"]) != new PsePortRef(row.PseId, row.Group, row.Port).ToString()
            ? throw new FormatException($"port_ref '{cells["port_ref"]}' does not fit pse_id, group and port")
            : row;
    }

    private static long? Watts(IReadOnlyDictionary<string, string> cells) => Maybe(cells["draw_mw"]) ?? Maybe(cells["ceiling_mw"]);

    private static long? Maybe(string cell) => cell.Length == 0 ? null : Number(cell);

    // A negative number stands behind the apostrophe that keeps spreadsheets from reading formulas.
    private static long Number(string cell) =>
        long.TryParse(CsvText.Unguarded(cell), System.Globalization.NumberStyles.AllowLeadingSign, System.Globalization.CultureInfo.InvariantCulture, out var number)
            ? number
            : throw new FormatException($"'{cell}' is no whole number");

    private static T Named<T>(string name, Func<T, string> nameOf)
        where T : struct, Enum
    {
        foreach (var value in Enum.GetValues<T>())
        {
            if (nameOf(value) == name)
            {
                return value;
            }
        }

        throw new FormatException($"'{name}' is not known here");
    }
}
