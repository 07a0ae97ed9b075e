using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Storage.Tests.Suites;

/// <summary>What every store of posted conditions does. Each adapter inherits it.</summary>
public abstract class ConditionStoreSuite : StoreSuite
{
    private static readonly PostedCondition s_dark = Word("dark", 0, holds: true);
    private static readonly PostedCondition s_air = Word("temperature", 1, celsius: -12.345);

    [Fact]
    public async Task Words_come_back_as_they_were_said()
    {
        await using var store = await Harness.OpenAsync();
        PostedCondition[] words = [s_dark, s_air, Word("wet", 2, holds: false), TakenBack("dark", 3)];
        foreach (var word in words)
        {
            await store.Conditions.SavePostedAsync(word, Token);
        }

        Assert.Equal(words, await store.Conditions.ReadPostedAsync(DateTimeOffset.MinValue, DateTimeOffset.MaxValue, Token));
    }

    [Fact]
    public async Task The_newest_word_on_each_topic_is_there_after_a_restart()
    {
        await using (var first = await Harness.OpenAsync())
        {
            foreach (var word in new[] { s_dark, s_air, Word("dark", 2, holds: false), TakenBack("temperature", 3) })
            {
                await first.Conditions.SavePostedAsync(word, Token);
            }
        }

        await using var second = await Harness.OpenAsync();
        Assert.Equal([Word("dark", 2, holds: false), TakenBack("temperature", 3)], await second.Conditions.ReadNewestPostedAsync(Token));
    }

    [Fact]
    public async Task A_word_that_is_repeated_whole_is_one_word()
    {
        await using var store = await Harness.OpenAsync();
        foreach (var word in new[] { s_dark, s_dark, s_air, s_air, TakenBack("dark", 5), TakenBack("dark", 5) })
        {
            await store.Conditions.SavePostedAsync(word, Token);
        }

        Assert.Equal(3, await Harness.CountAsync("posted_condition"));
    }

    [Fact]
    public async Task A_period_is_half_open_and_strange_text_is_kept_as_far_as_it_can_be()
    {
        await using var store = await Harness.OpenAsync();
        var strange = s_dark with { Text = "a\0b\uD800", Who = "Zoë" };
        await store.Conditions.SavePostedAsync(strange, Token);
        Assert.Equal([strange with { Text = "a\uFFFDb\uFFFD" }], await store.Conditions.ReadPostedAsync(s_dark.At, s_dark.At.AddMicroseconds(1), Token));
        Assert.Empty(await store.Conditions.ReadPostedAsync(s_dark.At.AddDays(-1), s_dark.At, Token));
    }

    private static PostedCondition Word(string topic, int minute, bool? holds = null, double? celsius = null) => new(
        topic,
        SampleReadings.Start.AddMinutes(minute),
        "nora",
        holds,
        celsius is { } air ? Temperature.FromCelsius(air) : null,
        SampleReadings.Start.AddHours(6),
        "by radio");

    private static PostedCondition TakenBack(string topic, int minute) => new(topic, SampleReadings.Start.AddMinutes(minute), "mira", null, null, null, "");
}
