using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using PoeWatch.Domain.Design.Config;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>
/// Turns the written scalars of one element into values. What cannot be taken becomes a problem, and a stand-in within the range goes on,
/// so that the remaining rules can still speak.
/// </summary>
internal sealed class ValueReader(ProblemList problems, string element, WrittenAt at)
{
    public ProblemList Problems => problems;

    public string Element => element;

    public WrittenAt At => at;

    /// <summary>A number that must be written unless the key has a default.</summary>
    public double Number(Written<string>? written, NumberKey key)
    {
        if (written is null && key.Fallback is null)
        {
            Missing(key.Name, $"a number {Range(key)}");
        }

        return NumberOrNull(written, key) ?? key.Fallback ?? Math.Clamp(1, key.Min, key.Max);
    }

    /// <summary>A number that may be left out; null where it is, or where what is written cannot be taken.</summary>
    public double? NumberOrNull(Written<string>? written, NumberKey key)
    {
        if (written is null)
        {
            return null;
        }

        var isNumber = double.TryParse(written.Value, NumberStyles.Float, CultureInfo.InvariantCulture, out var number) && double.IsFinite(number);
        if (!isNumber || (key.IsWhole && number != Math.Floor(number)))
        {
            problems.Taint(element);
            var kind = key.IsWhole ? "a whole number" : "a number";
            problems.Error(
                "wrong-type", written, element, $"'{key.Name}' must be {kind}.",
                $"Write {kind} {Range(key)} with a decimal point and without a unit: the unit is part of the key.");
            return null;
        }

        if (number < key.Min || number > key.Max)
        {
            problems.Taint(element);
            problems.Error(
                key.Name == DesignNumbers.CableLength.Name && number > key.Max ? "segment-too-long" : "out-of-range",
                written, element, $"'{key.Name}' must be {Range(key)}.",
                key.Reason.Length > 0 ? key.Reason : $"Write a number {Range(key)}.");
            return null;
        }

        return number;
    }

    public int Whole(Written<string>? written, NumberKey key) => (int)Number(written, key);

    public int? WholeOrNull(Written<string>? written, NumberKey key) => (int?)NumberOrNull(written, key);

    public Power Power(Written<string>? written, NumberKey key) => Quantities.Power.FromWatts(Number(written, key));

    public T Choice<T>(Written<string>? written, ChoiceKey<T> key)
    {
        if (written is null && !key.HasFallback)
        {
            Missing(key.Name, "one of " + string.Join(", ", key.Words));
        }

        return IsChosen(written, key, out var meaning) ? meaning : key.Choices[0].Meaning;
    }

    /// <summary>A word that may be left out; null where it is, or where what is written is none of the words.</summary>
    public T? ChoiceOrNull<T>(Written<string>? written, ChoiceKey<T> key)
        where T : struct => IsChosen(written, key, out var meaning) ? meaning : null;

    private bool IsChosen<T>(Written<string>? written, ChoiceKey<T> key, [MaybeNullWhen(false)] out T meaning)
    {
        meaning = default;
        if (written is null)
        {
            return false;
        }

        foreach (var choice in key.Choices)
        {
            if (choice.Word == written.Value)
            {
                meaning = choice.Meaning;
                return true;
            }
        }

        problems.Error(
            "unknown-word", written, element, $"'{key.Name}' does not know '{written.Value}'.",
            $"{Suggestion.Hint(written.Value, key.Words)}Write one of {string.Join(", ", key.Words)}.");
        return false;
    }

    /// <summary>Text that must be written; a stand-in where it is not.</summary>
    public string Text(Written<string>? written, string key, string meant)
    {
        if (written is null)
        {
            Missing(key, meant);
            return "";
        }

        return written.Value;
    }

    public void Missing(string key, string meant)
    {
        problems.Taint(element);
        problems.Error("missing", at, element, "", $"'{key}' is missing.", $"Write '{key}' with {meant}.");
    }

    private static string Range(NumberKey key) =>
        string.Create(CultureInfo.InvariantCulture, $"from {key.Min:0.###} to {key.Max:0.###}");
}
