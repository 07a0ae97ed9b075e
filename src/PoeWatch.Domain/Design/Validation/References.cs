using PoeWatch.Domain.Design.Config;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>Looks up what one element says of another.</summary>
internal static class References
{
    /// <summary>The pole's id, or null where none is named or it does not exist (which is reported).</summary>
    public static string? Pole(DesignParts parts, Written<string>? written, string element)
    {
        if (written is null || parts.Poles.ContainsKey(written.Value))
        {
            return written?.Value;
        }

        parts.Problems.Error(
            "unknown-pole", written, element, $"There is no pole '{written.Value}'.",
            $"{Suggestion.Hint(written.Value, parts.Poles.Keys)}Name a pole listed under 'poles'.");
        return null;
    }
}
