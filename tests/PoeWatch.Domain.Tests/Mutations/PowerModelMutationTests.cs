using System.Buffers.Binary;
using System.Collections.Concurrent;
using System.Security.Cryptography;
using System.Text;
using PoeWatch.TestKit;

namespace PoeWatch.Domain.Tests.Mutations;

/// <summary>
/// Changes one constant, sign, comparison or connective of the power model at a time and asks whether a test notices. Changes that cannot be noticed stand in
/// <c>unnoticeable.txt</c>, each with its reason.
/// </summary>
public sealed class PowerModelMutationTests
{
    private static readonly string s_top = TopOf(new DirectoryInfo(AppContext.BaseDirectory));

    [Fact]
    public async Task No_small_change_of_the_power_model_goes_unnoticed()
    {
        var cancel = TestContext.Current.CancellationToken;
        var build = new MutantBuild(Path.Combine(s_top, "src", "PoeWatch.Domain"));
        var allowed = Unnoticeable();
        var all = build.MutantsIn("Poe", "PowerFlow");
        Assert.Empty(allowed.Keys.Except(all.Select(m => m.Key)));
        var seed = EvidenceRun.Seed(1);
        var chosen = all.Where(m => !allowed.ContainsKey(m.Key)).OrderBy(m => Lot(seed, m)).Take(EvidenceRun.Rounds(2)).ToArray();

        var fates = await FatesAsync(build, chosen, cancel);

        EvidenceRun.Note("changes possible", all.Count);
        EvidenceRun.Note("known as unnoticeable, with reasons", allowed.Count);
        EvidenceRun.Note("changes tried", fates.Count);
        foreach (var fate in fates.GroupBy(f => f.Fate).OrderBy(f => f.Key))
        {
            EvidenceRun.Note(fate.Key.ToString().ToLowerInvariant(), fate.Count());
        }

        var survivors = fates.Where(f => f.Fate == MutantFate.Survived).Select(f => f.Mutant.ToString()).ToArray();
        Assert.True(survivors.Length == 0, $"Seed {seed}: {survivors.Length} of {fates.Count} changes went unnoticed:\n{string.Join('\n', survivors.Order(StringComparer.Ordinal))}");
    }

    private static async Task<IReadOnlyCollection<(Mutant Mutant, MutantFate Fate)>> FatesAsync(MutantBuild build, Mutant[] chosen, CancellationToken cancel)
    {
        var left = new ConcurrentQueue<Mutant>(chosen);
        var fates = new ConcurrentQueue<(Mutant Mutant, MutantFate Fate)>();
        await Task.WhenAll(Enumerable.Range(0, Math.Min(Environment.ProcessorCount, chosen.Length)).Select(worker => Task.Run(
            async () =>
            {
                using var trial = new MutantTrial();
                if (worker == 0)
                {
                    // Unless the tests pass as things stand, a failure says nothing of a change.
                    Assert.Equal(MutantFate.Survived, await trial.RunAsync(build, null, cancel));
                }

                while (left.TryDequeue(out var mutant))
                {
                    var fate = await trial.RunAsync(build, mutant, cancel);
                    fates.Enqueue((mutant, fate));
                    if (fate == MutantFate.Survived)
                    {
                        EvidenceRun.Note("survived", mutant);
                    }
                }
            },
            cancel)));
        return fates;
    }

    // Drawn by what the change is, not by where it stands: a new line elsewhere does not shuffle everything anew.
    private static ulong Lot(int seed, Mutant mutant) =>
        BinaryPrimitives.ReadUInt64BigEndian(SHA256.HashData(Encoding.UTF8.GetBytes($"{seed} {mutant.Key}")));

    /// <summary>Reason by key; a line is <c>file | line of code | change | reason</c>, a comment begins with #.</summary>
    private static Dictionary<string, string> Unnoticeable()
    {
        var known = new Dictionary<string, string>(StringComparer.Ordinal);
        foreach (var line in File.ReadLines(Path.Combine(s_top, "tests", "PoeWatch.Domain.Tests", "Mutations", "unnoticeable.txt")))
        {
            if (line.Length == 0 || line[0] == '#')
            {
                continue;
            }

            var end = line.LastIndexOf(" | ", StringComparison.Ordinal);
            known.Add(line[..end], line[(end + 3)..]);
        }

        return known;
    }

    private static string TopOf(DirectoryInfo? from)
    {
        while (from is not null && !File.Exists(Path.Combine(from.FullName, "PoeWatch.sln")))
        {
            from = from.Parent;
        }

        return from?.FullName ?? throw new InvalidOperationException("These tests look at the sources: run them inside the repository.");
    }
}
