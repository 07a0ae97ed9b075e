using System.Collections.Immutable;
using PoeWatch.Server.Settings;

namespace PoeWatch.Server.Commands;

/// <summary>One agent that a draft is to ask.</summary>
/// <param name="Credentials">Their name.</param>
/// <param name="Id">The id that it is to have, or empty.</param>
internal sealed record DraftEntry(AgentAddress Address, string Credentials, string Id);

/// <summary>The list of addresses of a draft: from the command line, and from a file with one a line. Pure.</summary>
internal static class DraftList
{
    /// <summary>More are no site but a mistaken file.</summary>
    public const int EntriesMax = 5_000;

    /// <param name="lines">Address, then where wanted the name of credentials, then where wanted an id; empty lines and what stands behind # are passed over.</param>
    /// <returns>Each address once, the first mention counts.</returns>
    /// <exception cref="SettingsException">A line cannot be read; the message names it.</exception>
    public static ImmutableArray<DraftEntry> Read(IEnumerable<string> addresses, IEnumerable<string> lines, string credentials)
    {
        var entries = addresses.Select(address => new DraftEntry(AgentAddress.Parse(address), credentials, string.Empty)).ToList();
        var number = 0;
        foreach (var line in lines)
        {
            number++;
            string[] words = line.Split('#')[0].Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries);
            if (words.Length > 0)
            {
                entries.Add(Entry(words, number, credentials));
            }
        }

        return entries.Count switch
        {
            0 => throw new SettingsException("There is no address. Give some, or --from with a file that has one a line."),
            > EntriesMax => throw new SettingsException(FormattableString.Invariant($"There are {entries.Count} addresses, at most {EntriesMax} are asked. Draft a large site in parts.")),
            _ => [.. entries.DistinctBy(entry => entry.Address)],
        };
    }

    private static DraftEntry Entry(string[] words, int number, string credentials)
    {
        try
        {
            return words.Length <= 3
                ? new DraftEntry(AgentAddress.Parse(words[0]), words.Length > 1 ? words[1] : credentials, words.Length > 2 ? words[2] : string.Empty)
                : throw new SettingsException($"'{words[3]}' is one word too many. Write address, credentials and id.");
        }
        catch (SettingsException refused)
        {
            throw new SettingsException(FormattableString.Invariant($"--from, line {number}: {refused.Message}"));
        }
    }
}
