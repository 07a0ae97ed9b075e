namespace PoeWatch.Monitoring.Storage;

/// <summary>Text that every store can hold. Pure and thread safe.</summary>
public static class StoreText
{
    /// <summary>
    /// The text with NUL and half surrogate pairs replaced by U+FFFD: PostgreSQL refuses both, and one strange byte from an agent must
    /// not stop a whole batch.
    /// </summary>
    public static string Clean(string text)
    {
        if (IsClean(text))
        {
            return text;
        }

        return string.Create(text.Length, text, static (span, source) =>
        {
            source.CopyTo(span);
            for (var i = 0; i < span.Length; i++)
            {
                if (char.IsHighSurrogate(span[i]) && i + 1 < span.Length && char.IsLowSurrogate(span[i + 1]))
                {
                    i++;
                }
                else if (span[i] == '\0' || char.IsSurrogate(span[i]))
                {
                    span[i] = '\uFFFD';
                }
            }
        });
    }

    private static bool IsClean(string text)
    {
        foreach (var c in text)
        {
            if (c == '\0' || char.IsSurrogate(c))
            {
                return false;
            }
        }

        return true;
    }
}
