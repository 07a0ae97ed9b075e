using PoeWatch.Domain.Rollups;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Tests.Suites;

/// <summary>What every store of rollups does. Each adapter inherits it.</summary>
public abstract class RollupStoreSuite : StoreSuite
{
    private static readonly DateTimeOffset s_day = new(2026, 3, 14, 23, 0, 0, TimeSpan.Zero);
    private static readonly RollupSubject s_ports = new(RollupKind.Ports, "quay-west");
    private static readonly RollupSubject s_pole = new(RollupKind.Pole, "quay-west");

    [Fact]
    public async Task Blocks_come_back_in_order_of_time_and_byte_for_byte()
    {
        await using var store = await Harness.OpenAsync();
        RollupBlock[] blocks = [Block(s_ports, 0), Block(s_ports, 1), Block(s_ports, 2)];
        await store.Rollups.SaveRollupsAsync([blocks[2], blocks[0], Block(s_pole, 0), blocks[1]], Token);

        Same(blocks, await ReadAsync(store, s_ports, s_day.AddDays(-9), s_day.AddDays(9)));
    }

    [Fact]
    public async Task A_period_takes_the_blocks_that_it_touches()
    {
        await using var store = await Harness.OpenAsync();
        await store.Rollups.SaveRollupsAsync([Block(s_ports, 0), Block(s_ports, 1), Block(s_ports, 2)], Token);

        Same([Block(s_ports, 1)], await ReadAsync(store, s_ports, s_day.AddDays(1), s_day.AddDays(2)));
        Same([Block(s_ports, 0), Block(s_ports, 1)], await ReadAsync(store, s_ports, s_day.AddDays(1).AddMicroseconds(-1), s_day.AddDays(1).AddMicroseconds(1)));
        Assert.Empty(await ReadAsync(store, s_ports, s_day.AddDays(3), s_day.AddDays(4)));
        Assert.Empty(await ReadAsync(store, s_ports, s_day, s_day.AddDays(3), RollupStep.Day));
        Assert.Empty(await ReadAsync(store, RollupSubject.Site, s_day, s_day.AddDays(3)));
    }

    [Fact]
    public async Task What_is_past_its_days_goes_step_by_step_and_nothing_else()
    {
        await using var store = await Harness.OpenAsync();
        var days = Enumerable.Range(0, 300).Select(day => Block(s_ports, day)).ToList();
        var asDays = Block(s_ports, 0) with { Step = RollupStep.Day };
        await store.Rollups.SaveRollupsAsync([.. days, Block(s_pole, 0), asDays], Token);

        // The end of the 290th day, and a microsecond before that of the next.
        await store.Rollups.DropRollupsAsync(days[0].Step, days[290].End.AddMicroseconds(-1), Token);

        Same(days[290..], await ReadAsync(store, s_ports, s_day.AddDays(-9), s_day.AddDays(400)));
        Assert.Empty(await ReadAsync(store, s_pole, s_day.AddDays(-9), s_day.AddDays(400)));
        Same([asDays], await ReadAsync(store, s_ports, s_day.AddDays(-9), s_day.AddDays(400), RollupStep.Day));
    }

    [Fact]
    public async Task A_day_takes_the_place_of_its_hours_and_doing_it_again_changes_nothing()
    {
        await using var store = await Harness.OpenAsync();
        var hours = Enumerable.Range(0, 24).Select(h => Block(s_ports, 0) with { Start = s_day.AddHours(h), End = s_day.AddHours(h + 1) }).ToList();
        await store.Rollups.SaveRollupsAsync([.. hours, Block(s_ports, 1)], Token);
        Assert.Equal(25, (await ReadAsync(store, s_ports, s_day, s_day.AddDays(2))).Count);

        for (var time = 0; time < 2; time++)
        {
            await store.Rollups.SaveRollupsAsync([Block(s_ports, 0)], Token);
            Same([Block(s_ports, 0), Block(s_ports, 1)], await ReadAsync(store, s_ports, s_day, s_day.AddDays(2)));
        }
    }

    [Fact]
    public async Task All_of_a_kind_come_subject_by_subject_over_many_pages()
    {
        await using var store = await Harness.OpenAsync();
        var subjects = Enumerable.Range(0, 70).Select(n => new RollupSubject(RollupKind.Ports, $"switch-{n}")).ToList();
        foreach (var subject in subjects)
        {
            await store.Rollups.SaveRollupsAsync([.. Enumerable.Range(0, 7).Select(d => Block(subject, d)), Block(s_pole, 0)], Token);
        }

        var found = await store.Rollups.ReadRollupsAsync(RollupKind.Ports, RollupStep.QuarterHour, s_day.AddDays(1), s_day.AddDays(6), Token).ToListAsync(Token);
        var groups = found.GroupBy(b => b.Subject).ToList();
        Assert.Equal(subjects.ToHashSet(), [.. groups.Select(g => g.Key)]);
        Assert.Equal(found.Select(b => b.Subject), groups.SelectMany(g => g).Select(b => b.Subject));
        Assert.All(groups, g => Same([.. Enumerable.Range(1, 5).Select(d => Block(g.Key, d))], [.. g]));
    }

    [Fact]
    public async Task One_subject_comes_over_many_pages()
    {
        await using var store = await Harness.OpenAsync();
        RollupBlock[] year = [.. Enumerable.Range(0, 450).Select(d => Block(s_pole, d))];
        await store.Rollups.SaveRollupsAsync(year, Token);
        Same(year, await ReadAsync(store, s_pole, s_day, s_day.AddDays(450)));
    }

    [Fact]
    public async Task The_frontier_is_there_after_a_restart()
    {
        await using (var first = await Harness.OpenAsync())
        {
            Assert.Equal(default, await first.Rollups.ReadRollupFrontierAsync(Token));
            await first.Rollups.SaveRollupFrontierAsync(new RollupFrontier(s_day, s_day), Token);
            await first.Rollups.SaveRollupFrontierAsync(new RollupFrontier(s_day.AddHours(3), s_day), Token);
        }

        await using var second = await Harness.OpenAsync();
        Assert.Equal(new RollupFrontier(s_day.AddHours(3), s_day), await second.Rollups.ReadRollupFrontierAsync(Token));
    }

    [Fact]
    public async Task Late_hours_are_noted_once_and_forgotten_one_by_one()
    {
        await using var store = await Harness.OpenAsync();
        LateHour[] late = [new("quay-west", s_day), new("quay-east", s_day), new("quay-west", s_day.AddHours(-1))];
        await store.Rollups.NoteLateHoursAsync(late, Token);
        await store.Rollups.NoteLateHoursAsync([late[1]], Token);
        Assert.Equal([late[2], late[1], late[0]], await store.Rollups.ReadLateHoursAsync(Token));

        await store.Rollups.ForgetLateHoursAsync([late[1], late[2]], Token);
        Assert.Equal([late[0]], await store.Rollups.ReadLateHoursAsync(Token));
    }

    [Fact]
    public async Task A_changed_byte_is_found_and_gives_no_number()
    {
        await using var store = await Harness.OpenAsync();
        var made = RollupCodec.Encode(s_ports, RollupStep.Day, s_day, s_day.AddDays(1), [new RollupLine(1, 1, [DrawRollup.Nothing(s_day, s_day.AddDays(1))], null)]);
        var bytes = made.Payload.ToArray();
        bytes[bytes.Length / 2] ^= 4;
        await store.Rollups.SaveRollupsAsync([made with { Payload = bytes }], Token);
        var read = Assert.Single(await ReadAsync(store, s_ports, s_day, s_day.AddDays(1), RollupStep.Day));
        Assert.Contains("quay-west", Assert.Throws<StoreException>(() => RollupCodec.Decode(read)).Message, StringComparison.Ordinal);
        Assert.Throws<StoreException>(() => RollupCodec.Decode(made with { Subject = s_pole }));
        Assert.Throws<StoreException>(() => RollupCodec.Decode(made with { Start = s_day.AddHours(-1) }));
    }

    private static async Task<List<RollupBlock>> ReadAsync(
        OpenStore store, RollupSubject subject, DateTimeOffset from, DateTimeOffset to, RollupStep step = RollupStep.QuarterHour) =>
        await store.Rollups.ReadRollupsAsync(subject, step, from, to, Token).ToListAsync(Token);

    private static RollupBlock Block(RollupSubject subject, int day) => new(
        subject, RollupStep.QuarterHour, s_day.AddDays(day), s_day.AddDays(day + 1), new[] { (byte)day, (byte)subject.Kind, (byte)subject.Name.Length });

    private static void Same(IReadOnlyList<RollupBlock> expected, IReadOnlyList<RollupBlock> found) => Assert.Equal(
        expected.Select(b => (b.Subject, b.Step, b.Start, b.End, Convert.ToHexString(b.Payload.Span))),
        found.Select(b => (b.Subject, b.Step, b.Start, b.End, Convert.ToHexString(b.Payload.Span))));
}
