using PoeWatch.Domain.Readings.Changes;

namespace PoeWatch.Storage.Tests.Suites;

/// <summary>What every store of changes of agents does. Each adapter inherits it.</summary>
public abstract class AgentChangeStoreSuite : StoreSuite
{
    private static readonly AgentChangeNote[] s_notes =
    [
        Note("quay-west", 0, AgentChangeKind.Restarted, "The agent started again."),
        Note("quay-east", 1, AgentChangeKind.Replaced, "Another switch answers."),
        Note("quay-west", 2, AgentChangeKind.AgentRestarted, "It ran on."),
        Note("quay-west", 2, AgentChangeKind.Renumbered, "Group 2 is group 3 now."),
        Note("quay-west", 4, AgentChangeKind.GroupsChanged, "Group 3 came."),
    ];

    [Fact]
    public async Task Changes_come_back_as_they_were_saved_in_order_of_time_and_survive_a_restart()
    {
        await using (var first = await Harness.OpenAsync())
        {
            await first.AgentChanges.SaveAgentChangesAsync([.. s_notes.Skip(1)], Token);
            await first.AgentChanges.SaveAgentChangesAsync([s_notes[0]], Token);
        }

        await using var second = await Harness.OpenAsync();
        Assert.Equal(s_notes, await second.AgentChanges.ReadAgentChangesAsync(DateTimeOffset.MinValue, DateTimeOffset.MaxValue, null, Token));
    }

    [Fact]
    public async Task A_period_is_half_open_and_one_element_can_be_asked_for()
    {
        await using var store = await Harness.OpenAsync();
        await store.AgentChanges.SaveAgentChangesAsync(s_notes, Token);

        Assert.Equal(s_notes[..1], await store.AgentChanges.ReadAgentChangesAsync(s_notes[0].At, s_notes[1].At, null, Token));
        Assert.Equal([s_notes[2], s_notes[3]], await store.AgentChanges.ReadAgentChangesAsync(s_notes[1].At, s_notes[4].At, "quay-west", Token));
        Assert.Empty(await store.AgentChanges.ReadAgentChangesAsync(DateTimeOffset.MinValue, DateTimeOffset.MaxValue, "quay-north", Token));
    }

    [Fact]
    public async Task A_change_that_is_repeated_whole_is_one_change()
    {
        await using var store = await Harness.OpenAsync();
        await store.AgentChanges.SaveAgentChangesAsync(s_notes, Token);
        await store.AgentChanges.SaveAgentChangesAsync(s_notes, Token);
        await store.AgentChanges.SaveAgentChangesAsync([], Token);

        Assert.Equal(s_notes.Length, await Harness.CountAsync("agent_change"));
    }

    [Fact]
    public async Task Strange_text_is_kept_as_far_as_it_can_be()
    {
        await using var store = await Harness.OpenAsync();
        AgentChangeNote strange = Note("quay-west", 0, AgentChangeKind.Replaced, "serial 'a\0b\uD800' now");
        await store.AgentChanges.SaveAgentChangesAsync([strange], Token);

        AgentChangeNote read = Assert.Single(await store.AgentChanges.ReadAgentChangesAsync(strange.At, strange.At.AddMicroseconds(1), null, Token));
        Assert.Equal(strange with { Text = "serial 'a\uFFFDb\uFFFD' now" }, read);
    }

    private static AgentChangeNote Note(string pseId, int minute, AgentChangeKind kind, string text) =>
        new(pseId, SampleReadings.Start.AddMinutes(minute), kind, text);
}
