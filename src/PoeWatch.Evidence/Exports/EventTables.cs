using System.Globalization;
using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Evidence.Exports;

/// <summary>Writes what happened beside the readings: alarms, conditions, announced work, changes of agents, designs. Of the whole site. Stateless.</summary>
internal sealed class EventTables(EvidenceSources sources, string folder)
{
    public async Task WriteAsync(DesignTimeline designs, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken)
    {
        await WriteAlarmsAsync(from, to, cancellationToken).ConfigureAwait(false);
        await WriteConditionsAsync(from, to, cancellationToken).ConfigureAwait(false);
        await WriteMaintenanceAsync(from, to, cancellationToken).ConfigureAwait(false);
        await WriteAgentChangesAsync(from, to, cancellationToken).ConfigureAwait(false);
        await WriteDesignsAsync(designs, cancellationToken).ConfigureAwait(false);
    }

    private async Task WriteAlarmsAsync(DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken)
    {
        await using var table = NewTable(EvidenceFiles.Alarms, EvidenceColumns.Alarms);
        foreach (var change in await sources.Alarms.ReadAlarmChangesAsync(from, to, null, cancellationToken).ConfigureAwait(false))
        {
            await table.AddAsync(
                [
                    Time(change.At), change.Key.Resource, change.Key.Type, change.Kind, WordOf(change.Severity), change.Who, change.Text, change.QuietBecause,
                ],
                cancellationToken).ConfigureAwait(false);
        }
    }

    private async Task WriteConditionsAsync(DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken)
    {
        await using var table = NewTable(EvidenceFiles.Conditions, EvidenceColumns.Conditions);
        foreach (var word in await sources.Conditions.ReadPostedAsync(from, to, cancellationToken).ConfigureAwait(false))
        {
            await table.AddAsync([Time(word.At), word.Topic, word.Holds, word.Air?.Celsius, Time(word.Until), word.Who, word.Text], cancellationToken).ConfigureAwait(false);
        }
    }

    // Windows that the period touches, as they are now: one that was ended early says so.
    private async Task WriteMaintenanceAsync(DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken)
    {
        await using var table = NewTable(EvidenceFiles.Maintenance, EvidenceColumns.Maintenance);
        foreach (var window in (await sources.Maintenance.ReadWindowsAsync(from, cancellationToken).ConfigureAwait(false)).Where(w => w.From < to && w.To > from))
        {
            await table.AddAsync(
                [
                    window.Id, window.Scope, Time(window.From), Time(window.To), window.Who, window.Reason, Time(window.AddedAt), Time(window.EndedAt), window.EndedBy,
                ],
                cancellationToken).ConfigureAwait(false);
        }
    }

    private async Task WriteAgentChangesAsync(DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken)
    {
        await using var table = NewTable(EvidenceFiles.AgentChanges, EvidenceColumns.AgentChanges);
        foreach (var change in await sources.AgentChanges.ReadAgentChangesAsync(from, to, null, cancellationToken).ConfigureAwait(false))
        {
            await table.AddAsync([Time(change.At), change.PseId, OutcomeNames.Name(change.Kind), change.Text], cancellationToken).ConfigureAwait(false);
        }
    }

    private async Task WriteDesignsAsync(DesignTimeline designs, CancellationToken cancellationToken)
    {
        Directory.CreateDirectory(Path.Combine(folder, EvidenceFiles.DesignFolder));
        await using var table = NewTable(EvidenceFiles.Designs, EvidenceColumns.Designs);
        foreach (var span in designs.Spans)
        {
            var name = $"{EvidenceFiles.DesignFolder}/{span.Version.Hash}.yaml";
            await File.WriteAllTextAsync(Path.Combine(folder, name), span.Version.Text, cancellationToken).ConfigureAwait(false);
            await table.AddAsync(
                [span.Version.Hash, Time(span.Version.InForceFrom), Time(span.Until), span.Version.AppliedBy, span.Model is not null, name], cancellationToken)
                .ConfigureAwait(false);
        }
    }

    private CsvTable NewTable(string name, EvidenceColumn[] columns) => new(Path.Combine(folder, name), columns);

    private static object? Time(DateTimeOffset? time) => time is { } known ? SealInterval.MicrosecondsOf(known) : null;

    private static string WordOf(Enum word) => word.ToString().ToLower(CultureInfo.InvariantCulture);
}
