using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.TestKit;

namespace PoeWatch.Storage.Tests.Suites;

/// <summary>Random writes, repeats, reopenings and reads against a plain list in memory. A failure prints its seed.</summary>
public abstract class HistoryModelSuite : StoreSuite
{
    private static readonly string[] Elements = ["quay-west", "quay-east", "mole-head"];

    /// <summary>How many random lives are tried.</summary>
    protected abstract int Lives { get; }

    [Fact]
    public async Task Random_lives_agree_with_a_list_in_memory()
    {
        var first = EvidenceRun.Seed(1);
        var lives = EvidenceRun.Rounds(Lives);
        for (var seed = first; seed < first + lives; seed++)
        {
            try
            {
                await LiveAsync(seed);
            }
            catch (Exception e)
            {
                throw new InvalidOperationException($"The life of seed {seed} went wrong: {e.Message}", e);
            }
        }

        EvidenceRun.Note($"lives of the {GetType().Name} from seed {first}, 25 steps each", lives);
    }

    private async Task LiveAsync(int seed)
    {
        await using var harness = await NewHarnessAsync();
        var random = new Random(seed);
        var model = new Dictionary<(string, long), SwitchReading>();
        var batches = new List<IReadOnlyList<SwitchReading>>();
        var store = await harness.OpenAsync();
        try
        {
            for (var step = 0; step < 25; step++)
            {
                switch (random.Next(10))
                {
                    case 0:
                        await store.DisposeAsync();
                        store = await harness.OpenAsync();
                        break;
                    case 1 when batches.Count > 0:
                        await store.History.AppendAsync(batches[random.Next(batches.Count)], Token);
                        break;
                    case 2 or 3:
                        await CompareAsync(random, store.History, model);
                        break;
                    default:
                        var batch = NewBatch(random);
                        batches.Add(batch);
                        await store.History.AppendAsync(batch, Token);
                        foreach (var reading in batch)
                        {
                            model.TryAdd((reading.PseId, reading.At.UtcTicks / 10), reading);
                        }

                        break;
                }
            }

            await CompareAsync(random, store.History, model);
        }
        finally
        {
            await store.DisposeAsync();
        }
    }

    // Times fall close together and out of order, so that collisions, late data and borders within a microsecond come up.
    private static List<SwitchReading> NewBatch(Random random) =>
        [.. Enumerable.Range(0, random.Next(1, 12)).Select(_ => SampleReadings.Random(
            random, Elements[random.Next(Elements.Length)], random.Next(1, 1 << 30), RandomTime(random)))];

    private static DateTimeOffset RandomTime(Random random) => random.Next(2) == 0
        ? SampleReadings.Start.AddTicks(random.Next(0, 400))
        : SampleReadings.Start.AddSeconds(random.Next(0, 5000));

    private static async Task CompareAsync(Random random, IHistoryStore store, Dictionary<(string, long), SwitchReading> model)
    {
        var from = random.Next(4) == 0 ? DateTimeOffset.MinValue : RandomTime(random);
        var to = random.Next(4) == 0 ? DateTimeOffset.MaxValue : RandomTime(random);
        foreach (var element in Elements)
        {
            var expected = model.Values.Where(r => r.PseId == element && r.At >= from && r.At < to).OrderBy(r => r.At);
            ReadingAssert.Equal(expected, await store.ReadAsync(element, from, to, Token).ToListAsync(Token));
        }

        var newest = model.Values.GroupBy(r => r.PseId).Select(g => g.MaxBy(r => r.At)!).OrderBy(r => r.PseId, StringComparer.Ordinal);
        ReadingAssert.Equal(newest, (await store.ReadLatestAsync(Token)).OrderBy(r => r.PseId, StringComparer.Ordinal));
    }
}
