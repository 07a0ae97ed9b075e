using System.Collections.Immutable;
using System.Text.RegularExpressions;
using PoeWatch.Domain.Readings;

namespace PoeWatch.DesignFiles.Drafts;

/// <summary>A port that delivers, with the texts that may tell where its cable goes.</summary>
/// <param name="Alias">ifAlias, or empty.</param>
/// <param name="NeighbourName">What its LLDP neighbour calls itself, or empty.</param>
internal readonly record struct PortTexts(PsePortRef Port, string Alias, string NeighbourName);

/// <summary>Finds the poles that aliases and names of neighbours number: <c>Pole 12 camera</c>, <c>MAST-07-AP1</c>. Pure.</summary>
internal static partial class PoleGuess
{
    // Two may be chance: a word counts where it numbers at least this many ports, with at least two numbers.
    private const int PortsMin = 3;
    private const int NumbersMin = 2;

    // What poles are called decides between two words that both repeat.
    private static readonly string[] s_poleWords = ["pole", "mast", "post", "column", "tower", "lamp", "pylon"];

    /// <returns>By port: the pole's name such as <c>pole-12</c>, and the text that it was read from; ports without a pattern are absent.</returns>
    public static ImmutableDictionary<PsePortRef, (string Pole, string Text)> Of(IEnumerable<PortTexts> ports)
    {
        var numbered = ports.Select(port => (port.Port, Found: Numbers(port.Alias).Concat(Numbers(port.NeighbourName)).ToArray())).Where(port => port.Found.Length > 0).ToArray();
        HashSet<string> words =
        [
            .. from port in numbered
               from found in port.Found.DistinctBy(f => f.Word)
               group found.Number by found.Word into word
               where word.Count() >= PortsMin && word.Distinct().Count() >= NumbersMin
               select word.Key,
        ];
        string[] named = [.. s_poleWords.Where(words.Contains)];

        // Without a word for a pole, the word that stands first is the larger thing: the place before the device.
        return numbered
            .Select(port => (port.Port, Found: port.Found.FirstOrDefault(f => named.Length > 0 ? named.Contains(f.Word) : words.Contains(f.Word))))
            .Where(port => port.Found.Word is not null)
            .ToImmutableDictionary(port => port.Port, port => ($"{port.Found.Word}-{port.Found.Number}", port.Found.Text));
    }

    private static IEnumerable<(string Word, string Number, string Text)> Numbers(string text) =>
        WordAndNumber().Matches(text).Select(match => (match.Groups["word"].Value.ToLowerInvariant(), match.Groups["number"].Value.TrimStart('0') is { Length: > 0 } number ? number.ToLowerInvariant() : "0", text));

    [GeneratedRegex(@"(?<![A-Za-z])(?<word>[A-Za-z]{1,20})[-_ .#:]{0,2}(?<number>[0-9]{1,5}[a-z]?)(?![0-9A-Za-z])", RegexOptions.None, 1000)]
    private static partial Regex WordAndNumber();
}
