namespace PoeWatch.House.Tests.Support;

/// <summary>Reports everything that breaks a rule of the house at once, and exemptions that nothing needs any more.</summary>
internal static class Rule
{
    public static void HoldsFor(IEnumerable<string> breaches, string remedy)
    {
        List<string> found = [.. breaches];
        Assert.True(found.Count == 0, $"{found.Count} breach(es). {remedy}\n  {string.Join("\n  ", found)}");
    }

    /// <param name="breaches">Key that an exemption may name, and what a person reads.</param>
    /// <param name="exemptions">Key and the reason why it may stand.</param>
    public static void HoldsFor(
        IEnumerable<(string Key, string Text)> breaches, IReadOnlyDictionary<string, string> exemptions, string remedy)
    {
        List<(string Key, string Text)> found = [.. breaches];
        var keys = found.Select(breach => breach.Key).ToHashSet();
        HoldsFor(
            found.Where(breach => !exemptions.ContainsKey(breach.Key)).Select(breach => breach.Text)
                .Concat(exemptions.Keys.Where(key => !keys.Contains(key)).Select(key => $"exemption without use: {key}")),
            remedy);
    }
}
