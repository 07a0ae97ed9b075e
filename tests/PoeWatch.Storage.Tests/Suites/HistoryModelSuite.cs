using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.TestKit;

namespace PoeWatch.Storage.Tests.Suites;

/// <summary>
/// Random writes, repeats, late polls, packing, deleting, failures in the middle of transactions, reopenings and reads against a plain list in memory. A
/// failure prints its seed.
/// </summary>
public abstract class HistoryModelSuite : StoreSuite
{
    private const int Steps = 25;

    // Lives that go on at once, each in a database that is emptied after it: making one takes longer than a life.
    private const int DatabasesMax = 4;

    private static readonly string[] Elements = ["quay-west", "quay-east", "mole-head"];

    /// <summary>How many random lives are tried.</summary>
    protected abstract int Lives { get; }

    [Fact]
    public async Task Random_lives_agree_with_a_list_in_memory()
    {
        var first = EvidenceRun.Seed(1);
        var lives = EvidenceRun.Rounds(Lives);
        var next = first - 1;
        await Task.WhenAll(Enumerable.Range(0, Math.Min(DatabasesMax, Environment.ProcessorCount)).Select(_ => Task.Run(LiveAllAsync, Token)));
        EvidenceRun.Note($"lives of the {GetType().Name} from seed {first}, {Steps} steps each", lives);

        async Task LiveAllAsync()
        {
            await using var harness = await NewHarnessAsync();
            for (var seed = Interlocked.Increment(ref next); seed < first + lives; seed = Interlocked.Increment(ref next))
            {
                await LiveAsync(harness, seed);
            }
        }
    }

    private static async Task LiveAsync(StoreHarness harness, int seed)
    {
        try
        {
            await new Life(harness, seed).LiveAsync();
            await harness.EmptyAsync();
        }
        catch (Exception e)
        {
            throw new InvalidOperationException($"The life of seed {seed} went wrong: {e.Message}", e);
        }
    }

    private sealed class Life(StoreHarness harness, int seed)
    {
        private readonly Random _random = new(seed);
        private readonly string[] _elements = [.. Elements.Select(e => $"{e}-{seed}")];
        private readonly Dictionary<(string, long), SwitchReading> _model = [];
        private readonly List<SwitchReading> _written = [];
        private readonly List<IReadOnlyList<SwitchReading>> _batches = [];
        private OpenStore _store = null!;

        // What lies before it may have been deleted.
        private DateTimeOffset _raw = DateTimeOffset.MinValue;

        internal async Task LiveAsync()
        {
            _store = await harness.OpenAsync();
            try
            {
                for (var step = 0; step < Steps; step++)
                {
                    await StepAsync();
                }

                await CompareAsync();
            }
            finally
            {
                await _store.DisposeAsync();
            }
        }

        private async Task StepAsync()
        {
            switch (_random.Next(14))
            {
                case 0:
                    await ReopenAsync();
                    break;
                case 1 when _batches.Count > 0:
                    await _store.History.AppendAsync(_batches[_random.Next(_batches.Count)], Token);
                    break;
                case 2 or 3:
                    await CompareAsync();
                    break;
                case 4 or 5 or 6:
                    await BlockStoreSuite.PackAllAsync(_store, RandomTime().AddHours(1));
                    break;
                case 7:
                    await FailAsync();
                    break;
                case 8 when _random.Next(4) == 0:
                    var before = RandomTime();
                    _raw = before > _raw ? before : _raw;
                    await _store.Upkeep.DropRawAsync(before, Token);
                    break;
                default:
                    await AppendAsync();
                    break;
            }
        }

        private async Task AppendAsync()
        {
            var batch = NewBatch();
            await _store.History.AppendAsync(batch, Token);
            _batches.Add(batch);
            _written.AddRange(batch);
            foreach (var reading in batch)
            {
                _model.TryAdd(Key(reading), reading);
            }
        }

        // The transaction breaks at its Nth row, N random, and the service with it: what was written before is there, of the broken one nothing.
        private async Task FailAsync()
        {
            var rows = (int)await harness.CountAsync("poll");
            await harness.BreakAsync(rows + _random.Next(8), rows - _random.Next(12));
            try
            {
                if (_random.Next(2) == 0)
                {
                    await AppendAsync();
                }
                else
                {
                    await BlockStoreSuite.PackAllAsync(_store, RandomTime().AddHours(1));
                }
            }
            catch (StoreException e) when (e.Message.Contains("injected", StringComparison.Ordinal))
            {
            }

            await ReopenAsync();
            await harness.MendAsync();
        }

        private async Task ReopenAsync()
        {
            await _store.DisposeAsync();
            _store = await harness.OpenAsync();
        }

        // Times fall close together and out of order, so that collisions, late data and borders within a microsecond come up; a month ends among them.
        private List<SwitchReading> NewBatch() =>
            [.. Enumerable.Range(0, _random.Next(1, 12)).Select(_ => SampleReadings.Random(
                _random, _elements[_random.Next(_elements.Length)], _random.Next(1, 1 << 30), RandomTime()))];

        private DateTimeOffset RandomTime() => _random.Next(3) switch
        {
            0 => SampleReadings.Start.AddTicks(_random.Next(0, 400)),
            1 => SampleReadings.Start.AddSeconds(_random.Next(0, 9000)),
            _ => SampleReadings.Start.AddHours(-_random.Next(0, 12)).AddTicks(_random.Next(-200, 200)),
        };

        private async Task CompareAsync()
        {
            var from = _random.Next(4) == 0 ? DateTimeOffset.MinValue : RandomTime();
            var to = _random.Next(4) == 0 ? DateTimeOffset.MaxValue : RandomTime();
            var bound = new DateTimeOffset(_raw.Year, _raw.Month, _raw.Day, _raw.Hour, 0, 0, TimeSpan.Zero);
            foreach (var element in _elements)
            {
                var actual = await _store.History.ReadAsync(element, from, to, Token).ToListAsync(Token);

                // Before the bound a poll may be gone, and another of its microsecond may have been written since: then it is that one.
                var old = actual.Where(r => r.At < bound).Select(r => _written.First(w => Key(w) == Key(r) && w.Sequence == r.Sequence));
                var expected = old
                    .Concat(_model.Values.Where(r => r.PseId == element && r.At >= from && r.At < to && r.At >= bound)).OrderBy(r => r.At).ToList();
                ReadingAssert.Equal(expected, actual);
                await ComparePortsAsync(element, from, to, expected);
            }

            var newest = (await _store.History.ReadLatestAsync(Token)).Where(r => _elements.Contains(r.PseId)).ToDictionary(r => r.PseId);
            foreach (var element in _elements)
            {
                if (_model.Values.Where(r => r.PseId == element).MaxBy(r => r.At) is { } last && last.At >= bound)
                {
                    ReadingAssert.Equal(last, newest[element]);
                }
            }
        }

        private async Task ComparePortsAsync(string element, DateTimeOffset from, DateTimeOffset to, IReadOnlyList<SwitchReading> expected)
        {
            PsePortRef[] ports = [new(element, 1, _random.Next(1, 53)), new(element, _random.Next(1, 9), _random.Next(1, 53))];
            var (marks, samples) = (new List<PollMark>(), new List<PortSample>[] { [], [] });
            await foreach (var page in _store.Ports.ReadPortsAsync(element, ports, from, to, Token))
            {
                marks.AddRange(page.Polls);
                samples[0].AddRange(page.Ports[0]);
                samples[1].AddRange(page.Ports[1]);
            }

            Assert.True(expected.Select(r => new PollMark(r.At, r.Outcome)).SequenceEqual(marks), "The times and outcomes of single ports differ.");
            for (var i = 0; i < ports.Length; i++)
            {
                Assert.True(expected.Select(r => Sample(r, ports[i])).SequenceEqual(samples[i]), $"The samples of {ports[i]} differ.");
            }
        }

        private static PortSample Sample(SwitchReading reading, PsePortRef port) => reading.Ports.FirstOrDefault(p => p.Port == port) is { } found
            ? new PortSample(true, found.DrawAtPse is { } draw ? Power.FromMilliwatts(draw.Milliwatts) : null, found.Provenance, found.State)
            : default;

        private static (string Element, long Microsecond) Key(SwitchReading reading) =>
            (reading.PseId, (reading.At.UtcTicks - DateTimeOffset.UnixEpoch.UtcTicks) / TimeSpan.TicksPerMicrosecond);
    }
}
