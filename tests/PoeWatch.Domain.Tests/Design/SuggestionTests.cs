using PoeWatch.Domain.Design.Config;

namespace PoeWatch.Domain.Tests.Design;

/// <summary>What somebody probably meant.</summary>
public sealed class SuggestionTests
{
    private static readonly string[] s_keys = ["length-m", "budget-w", "address", "from", "to"];

    [Theory]
    [InlineData("lenght-m", "length-m")]
    [InlineData("length", "length-m")]
    [InlineData("Adress", "address")]
    [InlineData("form", "from")]
    [InlineData("budget", "budget-w")]
    [InlineData("colour", null)]
    [InlineData("", null)]
    public void The_nearest_word_is_found_or_none(string written, string? meant) => Assert.Equal(meant, Suggestion.Nearest(written, s_keys));

    [Fact]
    public void A_very_long_word_is_not_even_looked_at() => Assert.Null(Suggestion.Nearest(new string('a', 65), [new string('a', 64)]));
}
