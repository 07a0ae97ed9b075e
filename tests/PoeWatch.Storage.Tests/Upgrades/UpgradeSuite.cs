using System.Globalization;
using System.Text.Json;
using PoeWatch.Domain.Rollups;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Sealing;
using PoeWatch.Monitoring.Storage;
using PoeWatch.Storage.Sqlite;
using PoeWatch.Storage.Tests.Moves;
using PoeWatch.Storage.Tests.Suites;

namespace PoeWatch.Storage.Tests.Upgrades;

/// <summary>
/// A database of every earlier layout with rows in it, opened with today's software. The rows are text that was written once (rows-NNNN.jsonl: a table and its
/// values a line, of the tables and columns that script NNNN brought), not what today's software would write. Each adapter inherits it.
/// </summary>
public abstract class UpgradeSuite : StoreSuite
{
    /// <summary>Layouts there were: numbers of the scripts. The last is today's.</summary>
    public static TheoryData<int> Layouts => [.. Scripts()];

    [Theory]
    [MemberData(nameof(Layouts))]
    public async Task What_a_layout_held_reads_back_the_same_and_life_goes_on(int layout)
    {
        await MakeAsync(layout);
        Assert.Equal(Scripts().Count(n => n <= layout), await Harness.CountAsync("schema_scripts"));
        foreach (var script in Scripts().Where(n => n <= layout))
        {
            foreach (var (table, values) in RowsOf(script))
            {
                await InsertAsync(table, values);
            }
        }

        await using var store = await Harness.OpenAsync();
        Assert.Equal(Scripts().Count(), await Harness.CountAsync("schema_scripts"));
        await CompareAsync(store, layout);

        // Everything can be written: new rows take new numbers.
        await LivedStore.FillAsync(store, layout);
        Assert.Equal(0, (await ProveAsync(store)).FaultCount);
    }

    [Fact]
    public void Each_script_has_rows_so_that_a_new_layout_is_not_forgotten() => Assert.All(Scripts(), script => Assert.NotEmpty(RowsOf(script)));

    /// <summary>Makes the tables of a layout, with the software's own scripts and list of scripts.</summary>
    protected abstract Task MakeAsync(int layout);

    protected abstract Task InsertAsync(string table, IReadOnlyDictionary<string, object?> values);

    /// <summary>The number that a script's name begins with.</summary>
    protected static int NumberOf(string script) => int.Parse(script[..4], CultureInfo.InvariantCulture);

    private static IEnumerable<int> Scripts() => typeof(SqliteStore).Assembly.GetManifestResourceNames()
        .Where(n => n.EndsWith(".sql", StringComparison.Ordinal)).Select(NumberOf).Order();

    private static async Task CompareAsync(OpenStore store, int layout)
    {
        foreach (var element in OldContent.Journal.Select(r => r.PseId).Distinct())
        {
            ReadingAssert.Equal(OldContent.Journal.Where(r => r.PseId == element), await ReadAllAsync(store.History, element));
        }

        ReadingAssert.Equal(layout >= 3 ? OldContent.Packed : [], await ReadAllAsync(store.History, "quay-east"));
        Assert.Equal(layout >= 8 ? [OldContent.Alarm, OldContent.Shelved] : [OldContent.Alarm], (await store.Alarms.LoadAlarmsAsync(Token)).OrderBy(a => a.Key));
        Assert.Equal(
            layout >= 8 ? [.. OldContent.Changes, OldContent.Quiet] : OldContent.Changes,
            (await store.Alarms.ReadAlarmChangesAsync(DateTimeOffset.MinValue, DateTimeOffset.MaxValue, null, Token)).OrderBy(c => c.Key == OldContent.Shelved.Key).ThenBy(c => c.At));
        Assert.Equal(OldContent.Designs, await store.Designs.ReadDesignsAsync(Token));
        Assert.Equal(layout >= 2 ? OldContent.Conditions : [], await store.Conditions.ReadPostedAsync(DateTimeOffset.MinValue, DateTimeOffset.MaxValue, Token));
        Assert.Equal(layout >= 6 ? [OldContent.AgentChange] : [], await store.AgentChanges.ReadAgentChangesAsync(DateTimeOffset.MinValue, DateTimeOffset.MaxValue, null, Token));
        Assert.Equal(layout >= 8 ? [OldContent.Window] : [], await ((IMaintenanceStore)store.Owner).ReadWindowsAsync(OldContent.Start, Token));
        await CompareRollupsAsync(store, layout);
        var proof = await ProveAsync(store);
        Assert.Equal((layout >= 5 ? 24L : 0, 0L, 0L, layout >= 5 ? 1 : 0), (proof.Recomputed, proof.WithoutReadings, proof.FaultCount, proof.Roots));
        Assert.Equal(layout >= 5 ? 1 : 0, (await ((ILateMarkStore)store.Owner).ReadLateAsync(10, Token)).Count);
        var notice = (await ((INoticeStore)store.Owner).ReadNoticesAsync(null, null, 10, Token)).SingleOrDefault();
        Assert.Equal(layout >= 7 ? OldContent.Notice : null, notice?.Content);
        if (layout >= 7)
        {
            var lane = await ((INoticeStore)store.Owner).OpenLaneAsync(OldContent.Desk, LivedStore.End, Token);
            Assert.Equal((2L, OldContent.Start, 1), (lane.ReadTo, lane.OpenedAt, lane.Told.Length));
        }
    }

    private static async Task CompareRollupsAsync(OpenStore store, int layout)
    {
        var blocks = await store.Rollups.ReadRollupsAsync(OldContent.Pole, RollupStep.Day, OldContent.Day.Start, OldContent.Day.End, Token).ToListAsync(Token);
        Assert.Equal(layout >= 4 ? [OldContent.Day] : [], blocks.SelectMany(b => RollupCodec.Decode(b)).SelectMany(l => l.Intervals));
        Assert.Equal(layout >= 4 ? OldContent.Frontier : default, await store.Rollups.ReadRollupFrontierAsync(Token));
        Assert.Equal(layout >= 4 ? [new LateHour("quay-west", OldContent.Start)] : [], await store.Rollups.ReadLateHoursAsync(Token));
    }

    private static Task<HistoryProofResult> ProveAsync(OpenStore store) =>
        new HistoryProof(store.History, (ISealStore)store.Owner, (ILateMarkStore)store.Owner).ProveAsync(Token);

    private static IEnumerable<(string Table, IReadOnlyDictionary<string, object?> Values)> RowsOf(int script)
    {
        var name = string.Create(CultureInfo.InvariantCulture, $"rows-{script:0000}.jsonl");
        using var stream = typeof(UpgradeSuite).Assembly.GetManifestResourceStream(name)
            ?? throw new InvalidOperationException($"There is no {name}: a new script needs rows of the tables and columns that it brings, as the others have.");
        using var reader = new StreamReader(stream);
        while (reader.ReadLine() is { } line)
        {
            using var row = JsonDocument.Parse(line);
            var table = row.RootElement.EnumerateObject().Single();
            yield return (table.Name, table.Value.EnumerateObject().ToDictionary(v => v.Name, ValueOf));
        }
    }

    // Bytes are written 0x…, times as RFC 3339 with six decimals.
    private static object? ValueOf(JsonProperty value) => value.Value.ValueKind switch
    {
        JsonValueKind.Null => null,
        JsonValueKind.Number => value.Value.GetInt64(),
        JsonValueKind.True or JsonValueKind.False => value.Value.GetBoolean(),
        _ when value.Value.GetString() is var text && text!.StartsWith("0x", StringComparison.Ordinal) => Convert.FromHexString(text.AsSpan(2)),
        _ when value.Value.GetString() is var text && DateTimeOffset.TryParseExact(
            text, "yyyy-MM-dd'T'HH:mm:ss.ffffff'Z'", CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out var time) => time,
        _ => value.Value.GetString(),
    };
}
