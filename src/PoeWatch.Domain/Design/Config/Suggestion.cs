namespace PoeWatch.Domain.Design.Config;

/// <summary>Finds the word that somebody probably meant. Pure and thread safe.</summary>
public static class Suggestion
{
    private const int LongestWord = 64;

    /// <summary>The nearest candidate, or null where none is near: at most a third of the letters may differ.</summary>
    public static string? Nearest(string word, IEnumerable<string> candidates)
    {
        if (word.Length is 0 or > LongestWord)
        {
            return null;
        }

        string? best = null;
        var bestDistance = Math.Max(1, word.Length / 3) + 1;
        foreach (var candidate in candidates.Where(c => c.Length <= LongestWord).Order(StringComparer.Ordinal))
        {
            var distance = Distance(word.ToLowerInvariant(), candidate.ToLowerInvariant());
            if (distance < bestDistance)
            {
                (best, bestDistance) = (candidate, distance);
            }
        }

        return best;
    }

    /// <summary>"Did you mean 'x'? " where one is near, else empty.</summary>
    public static string Hint(string word, IEnumerable<string> candidates) =>
        Nearest(word, candidates) is { } near ? $"Did you mean '{near}'? " : "";

    // Edit distance with neighbours swapped counted as one step (optimal string alignment).
    private static int Distance(string a, string b)
    {
        var table = new int[a.Length + 1, b.Length + 1];
        for (var i = 0; i <= a.Length; i++)
        {
            table[i, 0] = i;
        }

        for (var j = 0; j <= b.Length; j++)
        {
            table[0, j] = j;
        }

        for (var i = 1; i <= a.Length; i++)
        {
            for (var j = 1; j <= b.Length; j++)
            {
                var cost = a[i - 1] == b[j - 1] ? 0 : 1;
                var steps = Math.Min(Math.Min(table[i - 1, j] + 1, table[i, j - 1] + 1), table[i - 1, j - 1] + cost);
                var isSwap = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
                table[i, j] = isSwap ? Math.Min(steps, table[i - 2, j - 2] + 1) : steps;
            }
        }

        return table[a.Length, b.Length];
    }
}
