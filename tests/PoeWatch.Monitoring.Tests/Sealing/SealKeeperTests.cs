using System.Security.Cryptography;
using System.Text;
using CsCheck;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Sealing;
using PoeWatch.TestKit.Design;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Monitoring.Tests.Sealing;

public sealed class SealKeeperTests : IDisposable
{
    private static readonly DateTimeOffset Start = new(2026, 11, 25, 23, 30, 0, TimeSpan.Zero);

    private readonly MemoryStore _store = new();
    private readonly MemorySeals _seals = new();
    private readonly FakeTimeProvider _time = new(Start.AddMinutes(1));
    private readonly EvidenceSigner _signer = NewSigner();
    private SealBench? _bench;

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    private SealBench Bench => _bench ??= Restarted();

    public void Dispose()
    {
        _bench?.Dispose();
        _signer.Dispose();
    }

    [Fact]
    public async Task A_quarter_hour_is_sealed_once_its_lag_is_over_with_a_leaf_for_each_element_the_silent_too()
    {
        await Bench.Keeper.SealDueAsync(Token);
        await KeepAsync(Reading("quay-west", 2), Reading("quay-west", 3), Reading("gone", 4));
        _time.SetUtcNow(Start.AddMinutes(19.9));
        await Bench.Keeper.SealDueAsync(Token);
        Assert.Equal(2, _seals.Leaves.Count);

        _time.SetUtcNow(Start.AddMinutes(20));
        await Bench.Keeper.SealDueAsync(Token);
        Assert.Equal(["gone 1", "quay-east 0", "quay-west 2"], _seals.Leaves.Skip(2).Select(l => $"{l.PseId} {l.PollTimes.Length}"));
        Assert.All(_seals.Leaves.Skip(2), l => Assert.Equal((SealKind.Seal, Start), (l.Kind, l.Start)));
        var rebuilt = new SealLeaf(
            SealKind.Seal, "quay-west", SealInterval.MicrosecondsOf(Start), [SealedPoll.Of(Reading("quay-west", 2)), SealedPoll.Of(Reading("quay-west", 3))]);
        Assert.Equal(rebuilt.Hash(), _seals.Leaves[4].Hash);
    }

    [Fact]
    public async Task The_first_leaves_are_of_the_quarter_hour_that_just_ended_so_that_a_restart_loses_none()
    {
        await Bench.Keeper.SealDueAsync(Token);
        Assert.Equal(["quay-east", "quay-west"], _seals.Leaves.Select(l => l.PseId));
        Assert.All(_seals.Leaves, l => Assert.Equal(Start.AddMinutes(-15), l.Start));
        await KeepAsync(Reading("quay-west", 2));
        _time.SetUtcNow(Start.AddMinutes(17));
        Restart();
        await SealUntilAsync(20);
        Assert.Equal([At(2)], _seals.Leaves[3].PollTimes);
    }

    [Fact]
    public async Task What_comes_late_is_an_amendment_that_names_its_polls_and_comes_once()
    {
        await KeepAsync(Reading("quay-west", 2));
        await SealUntilAsync(20);
        await KeepAsync(Reading("quay-west", 1), Reading("quay-west", 2), Reading("quay-west", 7), Reading("quay-east", 3));
        for (var times = 0; times < 3; times++)
        {
            await Bench.Keeper.SealDueAsync(Token);
        }

        var late = _seals.Leaves.Where(l => l.Kind == SealKind.Amendment).ToList();
        Assert.Equal(["quay-east", "quay-west"], late.Select(l => l.PseId));
        Assert.Equal([At(1), At(7)], late[1].PollTimes);
        Assert.Equal(
            new SealLeaf(SealKind.Amendment, "quay-west", SealInterval.MicrosecondsOf(Start), [SealedPoll.Of(Reading("quay-west", 1)), SealedPoll.Of(Reading("quay-west", 7))]).Hash(),
            late[1].Hash);
        Assert.Empty(await _seals.ReadLateAsync(10, Token));
    }

    [Fact]
    public async Task A_late_poll_is_amended_also_where_the_service_died_between_writing_and_sealing()
    {
        await SealUntilAsync(20);
        await KeepAsync(Reading("quay-west", 5));
        Restart();
        await Bench.Keeper.SealDueAsync(Token);
        Assert.Equal([At(5)], Assert.Single(_seals.Leaves, l => l.Kind == SealKind.Amendment).PollTimes);

        // The very first write of a life is held against what the life before had sealed.
        Restart();
        await KeepAsync(Reading("quay-west", 6));
        await Bench.Keeper.SealDueAsync(Token);
        Assert.Equal([At(6)], _seals.Leaves[^1].PollTimes);
    }

    [Fact]
    public async Task Raw_readings_stay_until_they_are_sealed_and_what_came_late_until_it_is_amended()
    {
        Assert.Null(await Bench.Keeper.EarliestNeededAsync(Token));
        await SealUntilAsync(20);
        Assert.Equal(Start.AddMinutes(15), await Bench.Keeper.EarliestNeededAsync(Token));
        await KeepAsync(Reading("quay-west", 7));
        Assert.Equal(Start, await Bench.Keeper.EarliestNeededAsync(Token));
        await Bench.Keeper.SealDueAsync(Token);
        Assert.Equal(Start.AddMinutes(15), await Bench.Keeper.EarliestNeededAsync(Token));
    }

    [Fact]
    public async Task A_day_that_is_whole_has_a_signed_root_that_is_published_until_it_is_taken()
    {
        var publisher = new Publisher { IsAway = true };
        _bench = Restarted(publisher);
        await SealUntilAsync(35);
        var root = Assert.Single(_seals.Roots);
        Assert.Equal((new DateOnly(2026, 11, 25), 6L), (root.Day, root.Size));
        Assert.Equal(HashTree.Root([.. _seals.Leaves.Take(6).Select(l => l.Hash)]), root.Root);
        Assert.Equal("poewatch-root/1\nday 2026-11-25\nsize 6\nroot " + root.Root + "\nat 2026-11-26T00:05:00.000000Z\n", root.Text);
        using var key = EvidenceSigner.ReadKey(s_pem, out _)!;
        Assert.True(key.VerifyData(
            Encoding.UTF8.GetBytes(root.Text), Convert.FromBase64String(root.Signature), HashAlgorithmName.SHA256, DSASignatureFormat.Rfc3279DerSequence));
        Assert.Equal(1, Bench.Keeper.UnpublishedRoots);

        publisher.IsAway = false;
        await Bench.Keeper.SealDueAsync(Token);
        Assert.Equal([root], publisher.Taken);
        Assert.Equal(0, Bench.Keeper.UnpublishedRoots);
    }

    [Fact]
    public async Task Whatever_fails_at_the_store_and_however_often_it_restarts_the_tree_is_that_of_a_quiet_life()
    {
        var quiet = await LeavesOfLifeAsync([]);
        Assert.Contains(quiet, l => l.EndsWith("Amendment", StringComparison.Ordinal));
        await Gen.Int[0, 3].Array[12].SampleAsync(async faults => Assert.Equal(quiet, await LeavesOfLifeAsync(faults)), iter: 40, threads: 1);
    }

    /// <summary>A life of two hours with one late poll; each fault is 0 none, 1 before the write, 2 after it, 3 a restart, at the n-th step.</summary>
    private static async Task<List<string>> LeavesOfLifeAsync(int[] faults)
    {
        using var signer = NewSigner();
        var (store, seals, time) = (new MemoryStore(), new MemorySeals(), new FakeTimeProvider(Start.AddMinutes(1)));
        var bench = new SealBench(store, seals, time, Design, signer);
        for (var minute = 1; minute <= 60; minute += 5)
        {
            time.SetUtcNow(Start.AddMinutes(minute));
            await bench.History.AppendAsync(minute == 41 ? [Reading("quay-west", minute), Reading("quay-east", 3)] : [Reading("quay-west", minute)], Token);
            switch (faults.ElementAtOrDefault(minute / 5))
            {
                case 1:
                    seals.FailBefore = MemoryStore.Away();
                    break;
                case 2:
                    seals.FailAfter = MemoryStore.Away();
                    break;
                case 3:
                    bench.Dispose();
                    bench = new SealBench(store, seals, time, Design, signer);
                    break;
            }

            // A failure drops what the keeper remembers, as its own loop does.
            for (var tries = 0; tries < 3; tries++)
            {
                await bench.Keeper.TrySealAsync(Token);
            }
        }

        bench.Dispose();
        return [.. seals.Leaves.Select(l => $"{l.Index} {l.PseId} {l.Start:HH:mm} {l.Hash} {l.Kind}")];
    }

    private static readonly string s_pem = NewPem();

    private static DesignModel Design => new DesignModelBuilder().Switch("quay-west").Switch("quay-east").Build();

    private static string NewPem()
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        return key.ExportPkcs8PrivateKeyPem();
    }

    private static EvidenceSigner NewSigner() => EvidenceSigner.TryTake(s_pem, out _)!;

    private static long At(double minute) => SealInterval.MicrosecondsOf(Start.AddMinutes(minute));

    private static SwitchReading Reading(string pseId, double minute) => new(
        pseId, 0, Start.AddMinutes(minute), PollOutcome.Answered, "", null,
        [new PortReading(new PsePortRef(pseId, 1, 1), PortState.Delivering, Power.FromWatts(10 + minute), Provenance.Measured, null)], []);

    private Task KeepAsync(params SwitchReading[] readings) => Bench.History.AppendAsync(readings, Token);

    private async Task SealUntilAsync(double minute)
    {
        await Bench.Keeper.SealDueAsync(Token);
        _time.SetUtcNow(Start.AddMinutes(minute));
        await Bench.Keeper.SealDueAsync(Token);
    }

    private void Restart()
    {
        _bench?.Dispose();
        _bench = Restarted();
    }

    private SealBench Restarted(params IRootPublisher[] publishers) => new(_store, _seals, _time, Design, _signer, publishers);

    private sealed class Publisher : IRootPublisher
    {
        public bool IsAway { get; set; }

        public List<SealedRoot> Taken { get; } = [];

        public Task<bool> TryPublishAsync(SealedRoot root, CancellationToken cancellationToken)
        {
            if (!IsAway)
            {
                Taken.Add(root);
            }

            return Task.FromResult(!IsAway);
        }
    }
}
